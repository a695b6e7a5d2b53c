"""Sums month by month: every bar measured back is as long as its amount says, below nought to the left."""

from __future__ import annotations

import re
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.drawing.marking.room import PAPER, PHONE, SCREEN
from planner.drawing.working.months import Month, months_svg

SVG = "{http://www.w3.org/2000/svg}"
amounts = st.integers(-(10**6), 10**6).map(lambda n: Decimal(n) / 100)


def says(amount: Decimal) -> str:
    return f"€ {amount}"


def bars_of(root: ElementTree.Element, at: int) -> list[tuple[float, float]]:
    """Where each bar of a series begins and how long it is, from above."""
    found = []
    for path in root.iter(f"{SVG}path"):
        if path.get("data-kind") == f"bar {at}":
            for x, y, long in re.findall(r"M([-\d.]+) ([-\d.]+)h([-\d.]+)v", path.get("d")):
                found.append((float(y), float(x), float(long)))
    return [(x, long) for _, x, long in sorted(found)]


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(amounts, amounts), min_size=1, max_size=12), st.sampled_from([PAPER, SCREEN, PHONE]))
def test_every_bar_is_as_long_as_its_amount_and_begins_at_nought(pairs, room):
    months = [Month(f"M{n}", pair) for n, pair in enumerate(pairs)]
    root = ElementTree.fromstring(months_svg(("In", "Out"), months, says, room=room))
    scale, start = float(root.get("data-scale")), float(root.get("data-from"))
    for at in (0, 1):
        # The first bar shows what the hatch is of.
        _, *bars = bars_of(root, at)
        told = [pair[at] for pair in pairs if pair[at]]
        assert len(bars) == (len(told) if scale else 0)
        for (x, long), amount in zip(bars, told, strict=True):
            assert long == pytest.approx(abs(float(amount)) * scale, abs=0.02)
            assert x == pytest.approx(start + min(float(amount) * scale, 0), abs=0.02)
            assert x >= -0.02 and x + long <= room.width + 0.02


def test_every_amount_is_written_beside_its_bar_and_said_to_whoever_does_not_see_it():
    months = [Month("Jan", (Decimal("10.00"), Decimal("-2.50"))), Month("Feb", (Decimal("0.00"), Decimal("4.00")))]
    root = ElementTree.fromstring(months_svg(("Came in", "Cost"), months, says))
    sums = [text.get("data-sum") for text in root.iter(f"{SVG}text") if text.get("data-sum")]
    assert sums == ["10.00", "-2.50", "0.00", "4.00"]
    assert root.find(f"{SVG}desc").text == "Jan: Came in € 10.00, Cost € -2.50. Feb: Came in € 0.00, Cost € 4.00."


def test_series_are_told_apart_by_hatches_that_run_otherwise():
    months = [Month("Jan", (Decimal(3), Decimal(2), Decimal(1)))]
    root = ElementTree.fromstring(months_svg(("a", "b", "c"), months, says))
    hatches = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("data-kind", "").startswith("hatch")]
    assert len(hatches) == len(set(hatches)) == 3
    with pytest.raises(ValueError, match="one to three"):
        months_svg(("a",) * 4, [], says)
