"""On the page of a kept cut plan stands every board of it, drawn for wide and for narrow screens, and the way to its
paper; a record of set-ups is told shortly and loses nothing."""

from __future__ import annotations

import json
import re
from collections import Counter

import pytest

from planner.cutting.setups import KINDS
from shopapp.common.templatetags.shop import as_length
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.sheets.steps import in_short, kinds_of
from tests.plans.cutting.sheets.test_the_paper import Told, address
from tests.support.cutting import cutting, plan_and_rack

pytestmark = pytest.mark.django_db


@pytest.fixture
def sheet(owner):
    plan = plan_and_rack(owner)
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    return keep_plan_of(who=owner, cutting=cutting(plan), search=search)


def test_every_board_and_every_rough_length_is_drawn_twice(owner_client, sheet):
    page = owner_client.get(address("cut_sheet", sheet)).content.decode()
    boards = json.loads(sheet.form)["plan"]["boards"]
    layers = sum(bool(rough[which]) for b in boards for rough in b["rough"] for which in ("strips", "under"))
    drawn = re.findall(r'<svg [^>]*viewBox="0 0 (\d+) [^>]*data-along="', page)
    assert Counter(drawn) == {"760": len(boards) + layers, "340": len(boards) + layers}
    for board in boards:
        assert re.search(rf'<span class="chalked">{board["board"]}</span>', page)


def test_every_strip_of_the_plan_is_listed_with_what_it_gives(owner_client, sheet):
    page = owner_client.get(address("cut_sheet", sheet)).content.decode().replace("&nbsp;", " ")
    told = Told(sheet)
    listed = {}
    for row in re.findall(r'<tr><th scope="row">(\S+-\d+\.\d+)(?: – \d+\.(\d+))?[ <](.*?)</tr>', page, re.S):
        first = int(row[0].rpartition(".")[2])
        for n in range(first, int(row[1] or first) + 1):
            listed[f"{row[0].rpartition('.')[0]}.{n}"] = row[2]
    for name, strip in told.strips():
        gives = listed.pop(name)
        for length, count in strip["parts"]:
            size = told.long(length + told.rules["over_length"])
            assert (f"{count} × {size} " if count > 1 else f"{size} ") in gives
        assert f">{told.long(strip['width'] + told.rules['over_width'])}</td>" in gives
    assert not listed


def test_the_paper_is_asked_for_from_the_page(owner_client, sheet):
    page = owner_client.get(address("cut_sheet", sheet)).content.decode()
    assert f'action="{address("cut_paper", sheet)}"' in page and "Make the marking-out sheets" in page


def test_set_ups_told_by_kind_are_those_of_the_record_in_their_order(sheet):
    record = json.loads(sheet.set_ups)
    kinds = kinds_of(record)
    assert [step.number for kind in kinds for step in kind.steps] == [step["number"] for step in record["steps"]]
    steps = {step["number"]: step for step in record["steps"]}
    for kind in kinds:
        assert kind.words in KINDS.values()
        for step in kind.steps:
            mine = steps[step.number]
            assert step.total == sum(cut["count"] for cut in mine["cuts"])
            assert step.spares == sum(cut["spares"] for cut in mine["cuts"])
            assert [one.set_to for one in step.settings] == [one["set_to"] for one in mine["settings"]]
            # Sentences and cautions stand once, at the step or over all of its kind.
            assert {*step.notes, *kind.notes} >= set(mine["notes"])
            assert {one["words"] for one in kind.cautions} >= {one["words"] for one in mine["cautions"]}
            assert as_length(step.held or "0")
    assert kinds_of({}) == []


def test_names_that_follow_one_another_are_told_shortly_and_others_are_not():
    assert in_short(["W1-1.1", "W1-1.2", "W1-1.4", "W1-2.5"]) == "W1-1.1 – 1.2, W1-1.4, W1-2.5"
    assert in_short(["W1-1", "W1-2"]) == "W1-1, W1-2"
    assert in_short(["W1-1.9", "W1-1.10"]) == "W1-1.9 – 1.10"
