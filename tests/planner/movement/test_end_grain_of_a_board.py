"""A board of panels moves both ways, each way as far as the same cells would across rows that run so."""

from __future__ import annotations

from fractions import Fraction

from planner.build import BoardSpec, build
from planner.measures import Length
from planner.movement import USUAL, end_grain_movement, moving
from planner.pattern import Pattern
from planner.shop import Shop

mm = Length.of_mm


def test_the_way_it_moves_more_is_told_with_its_line_and_no_step_in_its_thickness():
    """Six columns of two rows: along its rows it moves three times as far as across them."""
    pattern = Pattern.of([["beech"] * 6, ["walnut-black"] * 5 + ["beech"]])
    for along in ("rows", "columns"):
        spec = BoardSpec("wall", mm(20), mm(30), mm(0), mm(0), "panels", 1, "sycamore", along)
        told = moving(build(pattern, spec, "panels", Shop()), USUAL)
        first, then = USUAL.shop.moisture, USUAL.home.moisture
        both = end_grain_movement(pattern, mm(20), "sycamore", first, then)
        farthest = max(abs(line.by.mm) for way in (both.down, both.along) for line in way.lines)
        assert abs(told.most.figure.value.mm - farthest) <= Fraction(5, 1000)
        assert told.most.place.startswith("row 2 of the picture from the bottom")
        parts = max(way.neighbours.by.mm for way in (both.down, both.along))
        assert abs(told.neighbours.figure.value.mm - parts) <= Fraction(5, 1000)
        assert told.step is None and told.columns == () and any("both ways" in words for words in told.advice)
