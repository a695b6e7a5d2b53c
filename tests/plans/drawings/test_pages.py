"""The pages of working drawings: what is kept is drawn, the rest is told with the way to it; a helper sees no money."""

from __future__ import annotations

import json
import re

import pytest

from planner.measures import Length, format_length
from shopapp.jobs.making import making_of_job
from shopapp.people.models import Member
from shopapp.plans.cutting.asmade.actions import keep_measure
from shopapp.plans.cutting.asmade.planning import Measured
from shopapp.plans.cutting.asmade.readers import on_sheet
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.evenings import kept as keep_evenings
from tests.support.sawing import a_rack, cutting_of, keep
from tests.support.week import a_week

pytestmark = pytest.mark.django_db

SECTIONS = ("laid", "parts", "set-ups", "marking", "timetable", "seams", "money")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


@pytest.fixture
def sawn(owner, plan):
    """Its cut plan, kept."""
    a_rack(owner)
    return keep(owner, cutting_of_plan(plan))


@pytest.fixture
def evenings(owner, plan):
    a_week(owner)
    return keep_evenings(owner, making_of_plan(plan.pk))


@pytest.fixture
def helper_client(client):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    return client


def shown(client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content.decode()


def section(page: str, name: str) -> str:
    return re.search(rf'<section class="working" aria-labelledby="{name}">(.*?)</section>', page, re.S)[1]


def drawings_in(part: str) -> tuple[int, int]:
    """How many are drawn wide, and how many narrow."""
    return part.count('viewBox="0 0 760 '), part.count('viewBox="0 0 340 ')


def test_of_a_bare_plan_what_follows_from_its_record_is_drawn_and_the_rest_is_told_with_the_way_to_it(
    owner_client, plan
):
    page = shown(owner_client, f"/plans/{plan.pk}/drawings/")
    assert re.findall(r'<section class="working" aria-labelledby="([\w-]+)"', page) == list(SECTIONS)
    for name in ("laid", "parts", "seams", "money"):
        wide, narrow = drawings_in(section(page, name))
        assert wide and narrow, name
    cut = section(page, "set-ups")
    assert "No cut plan is kept yet" in cut and f'href="/plans/{plan.pk}/cut/"' in cut
    assert f'href="/plans/{plan.pk}/cut/"' in section(page, "marking")
    later = section(page, "timetable")
    assert "No timetable is kept yet" in later and f'href="/plans/{plan.pk}/timetable/"' in later
    assert drawings_in(cut) == drawings_in(later) == (0, 0)
    bare = shown(owner_client, f"/plans/{plan.pk}/drawings/set-ups/")
    assert "No cut plan is kept yet" in bare and f'href="/plans/{plan.pk}/cut/"' in bare and "<svg" not in bare


def test_once_a_cut_plan_is_kept_every_set_up_of_it_is_drawn_and_the_way_to_its_sheets_is_there(
    owner_client, plan, sawn
):
    page = shown(owner_client, f"/plans/{plan.pk}/drawings/")
    assert f'href="/plans/{plan.pk}/cut/{sawn.pk}/"' in section(page, "marking")
    steps = json.loads(sawn.set_ups)["steps"]
    drawn = []
    for kind in dict.fromkeys(step["kind"] for step in steps):
        assert f"/drawings/set-ups/?kind={kind}" in section(page, "set-ups")
        mine = shown(owner_client, f"/plans/{plan.pk}/drawings/set-ups/?kind={kind}")
        numbers = [int(number) for number in re.findall(r'aria-label="Set-up (\d+)"', mine)]
        assert numbers == [step["number"] for step in steps if step["kind"] == kind]
        # Wide and narrow, each once.
        assert sorted(map(int, re.findall(r'data-set-up="(\d+)"', mine))) == sorted(numbers * 2)
        for step in steps:
            for caution in step["cautions"] if step["kind"] == kind else ():
                assert f"<li>{caution['words']}</li>" in mine.replace("&#x27;", "'")
        drawn += numbers
    assert drawn == [step["number"] for step in steps]


def test_a_kind_that_is_none_shows_the_first_there_is(owner_client, plan, sawn):
    first = json.loads(sawn.set_ups)["steps"][0]
    page = shown(owner_client, f"/plans/{plan.pk}/drawings/set-ups/?kind=nonsense")
    assert f"<h2>{first['words']}</h2>" in page


def test_a_cut_plan_that_was_kept_without_set_ups_says_so(owner_client, plan, sawn):
    # The row itself is never changed: another is kept beside it.
    sawn.pk, sawn.set_ups = None, ""
    sawn.save(force_insert=True)
    page = shown(owner_client, f"/plans/{plan.pk}/drawings/")
    assert "kept without set-ups" in section(page, "set-ups")
    assert "kept without set-ups" in shown(owner_client, f"/plans/{plan.pk}/drawings/set-ups/")


def test_stops_follow_a_tile_that_was_measured_and_say_so(owner, owner_client, plan, sawn):
    """A tile of 17 mm where 16.9 was planned is a tenth longer, and stops of rows of them follow."""
    address = f"/plans/{plan.pk}/drawings/"
    assert "As made" not in shown(owner_client, f"{address}set-ups/?kind=part")
    cutting = cutting_of_plan(plan)
    keep_measure(who=owner, cutting=cutting, sheet=sawn, measured=Measured(Length.of_mm(17)), keep="borders")
    followed = on_sheet(cutting, sawn, the_workshop()).followed
    assert followed.steps
    after = shown(owner_client, f"{address}set-ups/?kind=part")
    for number in map(int, re.findall(r'aria-label="Set-up (\d+)"', after)):
        drawn = shown(owner_client, f"{address}set-up-{number}.svg")
        stops = [line for line in followed.stops if line.step == number]
        assert ("As made" in drawn) == bool(stops)
        said = re.sub("[\u00a0 ]+", " ", drawn)
        for line in stops:
            assert format_length(line.stop, "mm") in said and format_length(line.set_to, "mm") in said
        if len(stops) == 1:
            assert f'data-of="stop" data-mm="{stops[0].stop.mm}"' in drawn
            assert f'data-of="part" data-mm="{stops[0].length.mm}"' in drawn
        elif stops:
            assert "how it was planned" in drawn
    # Wide and narrow.
    assert len(re.findall(">As made", after)) >= 2 * len(followed.steps)


def test_a_kept_timetable_is_drawn_evening_by_evening(owner_client, plan, evenings):
    part = section(shown(owner_client, f"/plans/{plan.pk}/drawings/"), "timetable")
    wide, narrow = drawings_in(part)
    assert 0 < wide < narrow
    said = [
        pair
        for pairs in re.findall(r'viewBox="0 0 760 [^>]*data-evenings="([\d ,]+)"', part)
        for pair in pairs.split(",")
    ]
    assert len(said) == len(set(said)) > 0 and said == sorted(said, key=lambda pair: int(pair.split()[0]))
    assert "Ready " in part


def test_the_pattern_is_shown_face_up_or_glued_face_down(owner_client, plan):
    address = f"/plans/{plan.pk}/drawings/"
    up, down = shown(owner_client, address), shown(owner_client, f"{address}?face=down")
    assert 'laid.svg"' in section(up, "laid") and 'laid-face-down.svg"' in section(down, "laid")
    assert section(up, "laid") != section(down, "laid") and section(up, "parts") == section(down, "parts")
    # The switch says which it is.
    assert re.search(r'aria-current="true">Face up<', up) and re.search(r'aria-current="true">Glued face down<', down)


def test_a_job_has_the_same_drawings_and_what_was_kept_for_its_plan_counts(owner, owner_client, plan, evenings):
    job = work.job(owner, plan, label="Flag for the quay")
    a_rack(owner)
    sheet = keep(owner, cutting_of(job))
    page = shown(owner_client, f"/jobs/{job.pk}/drawings/")
    assert drawings_in(section(page, "timetable"))[0] and "Flag for the quay, its evenings" in page
    assert f'href="/jobs/{job.pk}/cut/{sheet.pk}/"' in section(page, "marking")
    assert f'href="/jobs/{job.pk}/"' in page and f'href="/plans/{plan.pk}/cut/' not in page
    # A second job of the plan has its own evenings to plan.
    other = work.job(owner, plan, label="Another")
    assert "No timetable is kept yet" in shown(owner_client, f"/jobs/{other.pk}/drawings/")
    keep_evenings(owner, making_of_job(other.pk))
    assert "No timetable is kept yet" not in shown(owner_client, f"/jobs/{other.pk}/drawings/")


def test_a_job_without_a_plan_has_nothing_to_draw(owner, owner_client):
    job = work.job(owner, None, label="A box")
    assert owner_client.get(f"/jobs/{job.pk}/drawings/").status_code == 404


def test_plan_and_job_lead_to_their_drawings(owner, owner_client, plan):
    job = work.job(owner, plan)
    assert f'href="/plans/{plan.pk}/drawings/"' in shown(owner_client, f"/plans/{plan.pk}/")
    assert f'href="/jobs/{job.pk}/drawings/"' in shown(owner_client, f"/jobs/{job.pk}/")


def test_a_helper_sees_all_but_the_money(helper_client, plan, sawn):
    symbol = the_workshop().currency_symbol
    page = shown(helper_client, f"/plans/{plan.pk}/drawings/")
    assert 'id="money"' not in page and symbol not in page
    assert drawings_in(section(page, "laid"))[0] and section(page, "set-ups").count("<li>") > 3
    # When it is ready is the owner's page: no way there that would end at a closed door.
    assert f'href="/plans/{plan.pk}/timetable/"' not in page and f'href="/plans/{plan.pk}/"' not in page
    assert helper_client.get(f"/plans/{plan.pk}/drawings/money.svg").status_code == 403
    for name in ("laid", "parts-1", "seams", "set-up-1"):
        assert symbol not in shown(helper_client, f"/plans/{plan.pk}/drawings/{name}.svg")


@pytest.mark.parametrize("below", ["", "set-ups/", "laid.svg"])
def test_nothing_is_changed_by_way_of_a_drawing(owner_client, plan, below):
    assert owner_client.post(f"/plans/{plan.pk}/drawings/{below}").status_code == 405
