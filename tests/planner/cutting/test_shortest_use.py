"""What is shorter than the machines take, or than a strip with one part in it, is of no use to any design."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import BoardSpec, build
from planner.cutting import CuttingError, lumber_need, shortest_use
from planner.errors import PlannerError
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize

mm = Length.of_mm


@pytest.mark.parametrize(
    ("shop", "limit"),
    [
        # Common practice, no source: 305 mm is the planner's own default for what a planer is fed.
        (Shop(), mm(305)),
        # Two trims of 25, a grip of 100, a cut of 3 and a part longer than that.
        (Shop(shortest_machined=mm(50)), mm(156)),
        (Shop(shortest_machined=mm(50), grip=mm(150), rough_end_trim=mm(30)), mm(216)),
    ],
)
def test_the_limit_is_the_longer_of_machine_and_strip(shop, limit):
    assert shortest_use(shop).value == limit


@settings(max_examples=40, deadline=None)
@given(
    pitch=st.integers(8, 40),
    machined=st.integers(20, 400),
    grip=st.integers(20, 200),
    trim=st.integers(0, 60),
)
def test_no_strip_of_any_board_is_shorter_than_the_limit(pitch, machined, grip, trim):
    """Against the strips the planner itself asks for."""
    shop = Shop(shortest_machined=mm(machined), grip=mm(grip), rough_end_trim=mm(trim), narrowest_strip=mm(5))
    spec = BoardSpec("wall", mm(pitch), mm(20), mm(51), mm(34), "tiles", 1, "sycamore")
    pattern = Pattern.of([["walnut-black"]]).padded(1, 1, 1, 1)
    stock = dict.fromkeys(("walnut-black", "sycamore"), StockSize(mm(40), mm(200)))
    try:
        need = lumber_need(build(pattern, spec, "tiles", shop), shop, stock)
    except (CuttingError, PlannerError):
        return
    strips = [strip for wood in need.woods for section in wood.sections for strip in section.strips]
    assert strips and all(strip.needed >= shortest_use(shop).value for strip in strips)
