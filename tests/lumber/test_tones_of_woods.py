"""How a wood looks, oiled and dry, as everything that draws it is told."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from shopapp.lumber.colours.readers import tones_of
from shopapp.lumber.models import WoodColour, WoodOnHand
from shopapp.lumber.planning import WOODS, hex_of

DRY = WoodColour.State.DRY


def a_colour(row: WoodOnHand, rgb: str, days_ago: int = 0, **more) -> None:
    WoodColour.objects.create(wood=row, rgb=rgb, seen_on=timezone.localdate() - timedelta(days=days_ago), **more)


def test_a_wood_has_the_colour_it_is_shown_in_and_the_newest_dry_one(sapele, django_assert_num_queries):
    a_colour(sapele, "#a07050", 40, state=DRY)
    a_colour(sapele, "#a87858", 2, state=DRY)
    # Written down last, of an older photo.
    a_colour(sapele, "#987050", 30, state=DRY)
    a_colour(sapele, "#606060", 1, state=DRY, stands_for_wood=False)
    with django_assert_num_queries(1):
        found = tones_of(["sapele", "walnut-black", "sapele"])
    assert found["sapele"] == (sapele.finished_rgb, "#a87858")
    assert found["walnut-black"] == (hex_of(WOODS["walnut-black"].finished_rgb), None)


def test_of_two_dry_samples_of_one_day_the_one_written_down_last_holds(sapele):
    a_colour(sapele, "#a07050", state=DRY)
    a_colour(sapele, "#a87858", state=DRY)
    assert tones_of(["sapele"])["sapele"][1] == "#a87858"


def test_a_wood_never_on_hand_has_the_stand_in_of_the_table_and_what_is_none_is_left_out(sapele):
    assert tones_of(["teak", None, "plastic"]) == {"teak": (hex_of(WOODS["teak"].finished_rgb), None)}
