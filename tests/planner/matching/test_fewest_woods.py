"""How few woods keep a picture to be read, and what one more buys."""

from __future__ import annotations

import pytest

from planner.errors import PlannerError
from planner.matching import choose_woods, fewest_woods
from planner.matching.fewest import IN_ORDER, LEGIBLE
from planner.woods import WOODS
from tests.support.small_pictures import BOARD_WOODS, FACES, MAPLE, by_colour

ALL = {name: wood.finished_rgb for name, wood in WOODS.items()}


@pytest.mark.parametrize("woods", [BOARD_WOODS, ALL], ids=["five woods", "every wood"])
@pytest.mark.parametrize("path", FACES, ids=lambda p: p.stem)
def test_each_count_uses_so_many_woods_and_says_what_the_last_one_bought(path, woods):
    found = fewest_woods(*by_colour(path), woods, background_rgb=MAPLE)
    assert found[0].count == 2 and len(found) <= 7
    before = 0.0
    for few in found:
        assert len(few.choice.woods) == few.count
        assert few.legible == (few.choice.scores.legibility >= LEGIBLE and few.choice.scores.order >= IN_ORDER)
        assert few.gained == pytest.approx(few.choice.scores.legibility - before)
        before = few.choice.scores.legibility


def test_with_as_many_woods_as_it_would_take_the_choice_is_the_suggested_one():
    cells, colours = by_colour(FACES[0])
    assert fewest_woods(cells, colours, BOARD_WOODS)[-1].choice == choose_woods(cells, colours, BOARD_WOODS)


def test_pinned_woods_are_always_among_them():
    cells, colours = by_colour(FACES[5])
    found = fewest_woods(cells, colours, ALL, pinned={0: "wenge", 1: "teak", 2: "iroko"}, background_rgb=MAPLE)
    assert found[0].count == 3
    assert all({"wenge", "teak", "iroko"} <= set(few.choice.woods) for few in found)


def test_a_picture_of_one_colour_needs_one_wood():
    cells, _ = by_colour(FACES[0])
    found = fewest_woods(cells.clip(max=0), [(60, 40, 30)], BOARD_WOODS, background_rgb=MAPLE)
    assert [(few.count, few.choice.wood_of, few.legible) for few in found] == [(1, ("walnut-black",), True)]


def test_without_a_price_of_the_shapes_there_is_nothing_to_ask():
    with pytest.raises(PlannerError, match="Choose one above 0"):
        fewest_woods(*by_colour(FACES[0]), BOARD_WOODS, shape_price=0)
