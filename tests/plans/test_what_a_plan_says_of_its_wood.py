"""A reckoning and a kept plan say whether the board moves, what it weighs and uses up, and what to mind; each is the
planner's own answer, shown as it was kept."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pytest
from django.urls import reverse

from planner.cautions import STEPS, caution_of
from planner.measures import Length
from shopapp.plans.actions import keep_plan
from shopapp.plans.readers import RecordView
from shopapp.workshop.actions import change_settings
from shopapp.workshop.readers import the_workshop
from tests.support.rack import boards
from tests.support.shop import add_woods, board, design_with_pattern, typed_board


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def words_of(answer) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def test_a_kept_plan_shows_the_movement_it_was_kept_with_whatever_the_shop_is_set_to_since(owner, owner_client, design):
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    before = words_of(owner_client.get(plan.get_absolute_url()))
    assert "Will it move?" in before and "What will it weigh?" in before and "What it uses up" in before
    assert "shrinks by" in before
    change_settings(
        who=owner, title="Air", changes={"home_humidity": Decimal(80)}, seen_version=the_workshop().edit_version
    )
    assert "shrinks by" in words_of(owner_client.get(plan.get_absolute_url()))
    live = words_of(owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board()))
    assert "grows by" in live and "Wetter in the home by" in live


def test_past_a_limit_of_the_makers_the_reckoning_warns(owner, owner_client, design):
    page = reverse("plans:reckoning", args=[design.pk])
    assert "Neighbours stay within your limit" in words_of(owner_client.get(page, typed_board()))
    changes = {"most_parting": Length.of_mm("0.001")}
    change_settings(who=owner, title="Limits", changes=changes, seen_version=the_workshop().edit_version)
    assert "more than your limit" in words_of(owner_client.get(page, typed_board()))


def test_meter_readings_of_the_rack_are_held_against_what_may_lie_apart(owner, owner_client, design):
    page = reverse("plans:reckoning", args=[design.pk])
    boards(owner, 2, wood="sycamore", facts={"moisture": Decimal("8")})
    assert "What the meter read" not in words_of(owner_client.get(page, typed_board(pitch="18")))
    boards(owner, 1, wood="walnut-black", facts={"moisture": Decimal("11.5")})
    told = words_of(owner_client.get(page, typed_board(pitch="18")))
    assert "3.5 points" in told and "by more than the 2 points you allow" in told


def test_every_step_is_told_with_its_cautions_and_each_once(owner_client, design):
    answer = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board(use="serving"))
    told = words_of(answer)
    for heading in STEPS.values():
        assert heading in told
    for kind in ("small_parts", "kickback", "glue_sheet", "oily_rags", "food_contact", "nut_oil"):
        assert told.count(caution_of(kind).words) == 1
    assert told.count("hard maple") == 1


def test_a_record_of_before_leaves_out_what_it_does_not_hold(owner, design):
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    record = {name: part for name, part in plan.record.items() if name not in ("moving", "mass", "supplies")}
    view = RecordView(record, plan.title, "mm").wood
    assert view.moving is None and view.mass is None and view.supplies() == []
    assert view.cautions_by_step()
