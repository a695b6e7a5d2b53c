"""What a cut plan goes by is set in words and units, refused where nothing could be cut, and handed on as it stands."""

from __future__ import annotations

from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.common.models import AuditLine
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send


@pytest.mark.parametrize(
    ("key", "typed", "field", "words"),
    [
        # Half of 305 mm and more from both ends: nothing of the shortest length machined is left.
        ("cutting", {"snipe": "152.5"}, "snipe", "305 mm"),
        # The first multiple of 1300 mm is longer than the longest ripped.
        ("cutting", {"rough_step": "1300"}, "rough_step", "1200 mm"),
        ("cutting", {"rough_step": "0"}, "rough_step", "more than nought"),
        ("cutting", {"resaw_kerf": "0"}, "resaw_kerf", "more than nought"),
        ("cutting", {"offcut_share": "95"}, "offcut_share", "90 %"),
        ("safe", {"stand_off": "0"}, "stand_off", "more than nought"),
        ("safe", {"stand_off": "3"}, "stand_off", "catch between blade"),
        ("safe", {"hold_down": "15"}, "hold_down", "20 mm"),
        ("safe", {"saw_scale": "-1"}, "saw_scale", "less than nought"),
    ],
)
def test_what_would_leave_nothing_or_nobody_safe_is_refused_beside_its_field(owner_client, key, typed, field, words):
    answer = send(owner_client, key, **typed)
    assert answer.status_code == 422
    assert words in answer.context["form"].errors[field][0]
    assert Workshop.objects.count() == 0


def test_a_snipe_and_a_grip_that_take_all_of_the_longest_length_are_refused(owner_client):
    # 1100 mm of grip, 3 mm of kerf and 97 mm of snipe are all of 1200 mm.
    send(owner_client, "safe", grip="1100")
    answer = send(owner_client, "cutting", snipe="97")
    assert answer.status_code == 422 and "1200 mm" in answer.context["form"].errors["snipe"][0]
    assert send(owner_client, "cutting", snipe="96").status_code == 302


def test_the_settings_reach_the_planner_exactly(owner_client):
    send(
        owner_client, "cutting", rough_step="1/4 in", snipe="2 in", offcut_share="40", resaw="on", resaw_kerf="1/16 in"
    )
    send(owner_client, "safe", stand_off="1 in", saw_scale="1/64 in", hold_down="60", tallest_cut="3 1/8 in")
    shop, inch = shop_of(the_workshop()), Length.of_inches
    assert (shop.rough_step, shop.snipe, shop.resaw_kerf) == (inch("1/4"), inch(2), inch("1/16"))
    assert (shop.offcut_share, shop.resaw) == (Fraction(2, 5), True)
    assert (shop.stand_off, shop.saw_scale, shop.tallest_cut) == (inch(1), inch("1/64"), inch("25/8"))
    assert shop.hold_down == Length.of_mm(60)


@pytest.mark.parametrize(
    ("key", "typed", "sentence"),
    [
        ("cutting", {"resaw": "on"}, "Cutting boards up: Resawing of thick boards changed from no to yes."),
        (
            "cutting",
            {"offcut_share": "30"},
            "Cutting boards up: Share an offcut is credited changed from 50 % to 30 %.",
        ),
        ("safe", {"stand_off": "30"}, "Saw and safe limits: Stand-off changed from 25 mm to 30 mm."),
    ],
)
def test_a_change_is_told(owner_client, key, typed, sentence):
    send(owner_client, key, **typed)
    assert list(AuditLine.objects.values_list("what", flat=True)) == [sentence]


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("safe", {"stand_off": "8"}, "turn and catch"),
        ("safe", {"saw_scale": "5"}, "adds up"),
        ("cutting", {"snipe": "151"}, ""),
    ],
)
def test_what_is_unusual_is_said_and_the_makers_own_rules(owner_client, key, typed, words):
    assert send(owner_client, key, **typed).status_code == 302
    said = owner_client.get(reverse("workshop:section", args=[key])).context["form"].minded()
    assert any(words in one.words for one in said) if words else not said


def test_the_page_says_where_each_value_comes_from_and_defers_to_the_saws_manual(owner_client):
    body = owner_client.get(reverse("workshop:section", args=["cutting"])).content.decode()
    for words in ("from memory", "Common practice, no source", "manual"):
        assert words in body
