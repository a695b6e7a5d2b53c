"""Sizes proposed keep what was asked, on the saw's scale, and no larger one does; sight by the standard's minute."""

from __future__ import annotations

import math
import random
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.measures import Length
from planner.proposing import SHAPES, as_large_as, largest_within, least_tile, pitches, sized, told_apart_from
from planner.shop import Shop

mm = Length.of_mm


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.key)
@pytest.mark.parametrize("scale", [mm("0.5"), Length.of_inches("1/16")], ids=["half a millimetre", "a sixteenth"])
def test_the_pitches_that_fit_are_those_a_maker_would_find_trying_every_one(shape, scale):
    draw = random.Random(f"{shape.key} {scale}")
    shop = Shop(saw_scale=scale)
    for _ in range(20):
        rows, columns = draw.randint(3, 40), draw.randint(3, 40)
        length, height = mm(draw.randint(100, 900)), mm(draw.randint(100, 900))
        fitting = []
        step = 0
        while (pitch := scale * step).mm <= 60:
            side = Fraction(pitch.mm * shape.side // scale.mm) * scale.mm
            end = Fraction(pitch.mm * shape.end // scale.mm) * scale.mm
            fits = columns * pitch.mm + 2 * side <= length.mm and rows * pitch.mm + 2 * end <= height.mm
            if pitch.mm >= shop.narrowest_strip.mm and fits:
                fitting.append(pitch)
            step += 1
        assert list(pitches(rows, columns, shape, shop, length=length, height=height)) == fitting
        for pitch in fitting[-1:]:
            board = sized(rows, columns, shape, pitch, scale)
            assert board.length <= length and board.height <= height


def test_the_largest_within_a_budget_is_within_it_and_where_prices_grow_none_larger_is():
    draw = random.Random(5)
    for _ in range(50):
        on_scale = [mm(10 + n) for n in range(draw.randint(1, 40))]
        prices = dict(zip(on_scale, sorted(draw.randint(50, 900) for _ in on_scale), strict=True))
        budget = Decimal(draw.randint(20, 950))
        within = [pitch for pitch in on_scale if prices[pitch] <= budget]
        found = largest_within(on_scale, lambda pitch, prices=prices: Decimal(prices[pitch]), budget)
        assert found == (within[-1] if within else None)


def test_a_board_that_has_no_price_is_within_no_budget():
    assert largest_within([mm(10), mm(11)], lambda pitch: None, Decimal(10**6)) is None


def test_tiles_are_told_apart_at_one_minute_of_arc():
    """ISO 8596: acuity 1.0 is a detail of one minute of arc; the tangent is taken from the standard library."""
    exact = 17 / math.tan(math.radians(1 / 60))
    assert math.isclose(float(told_apart_from(mm(17)).mm), exact, rel_tol=1e-8)
    assert least_tile(told_apart_from(mm(17))) == mm(17)
    assert as_large_as(mm(300), mm(3000)) == mm(50)
