"""Kept reckonings and racks for tests of cut jobs."""

from __future__ import annotations

import random
from collections import Counter
from decimal import Decimal
from fractions import Fraction

from planner.build import BoardSpec
from planner.cutting.fromshop import Piece
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.pattern import Pattern
from planner.pricing import Rates, Terms
from planner.reckoning import WoodOffer, reckon
from planner.record import to_record
from planner.shop import Shop, StockSize

mm, inch = Length.of_mm, Length.of_inches
LETTERS = {"b": "beech", "w": "walnut-black", "s": "sapele", "-": None}
# The maker's own names, told apart from the table's ids.
NAMES = {"beech": "Beech from the hill", "walnut-black": "Black walnut", "sapele": "Sapele"}
# Nothing but kerfs of 3, 25 off the ends, 6 off the width, a grip of 100; rough to milled takes 3, no spares.
PLAIN = Shop(
    glue_line=mm(0),
    gauge_allowance=mm(0),
    dressing=mm(0),
    end_trim=mm(0),
    edge_trim=mm(0),
    flattening=mm(2),
    longest_rip=mm(400),
    shortest_machined=mm(300),
    shortest_kept=mm(300),
    spoil_rate=Fraction(0),
)


def record(
    rows,
    shop=PLAIN,
    *,
    method="tiles",
    pitch=20,
    thickness=18,
    side=0,
    end=0,
    quantity=1,
    border="sapele",
    along="rows",
) -> dict:
    """The record of a real reckoning; sizes are millimetres or Lengths. Bought wood is wide and thick enough."""
    pattern = Pattern.of([[LETTERS[cell] for cell in row] for row in rows])
    sizes = [size if isinstance(size, Length) else mm(size) for size in (pitch, thickness, side, end)]
    spec = BoardSpec("wall", *sizes, method, quantity, border, along)
    stock = StockSize(mm(60), mm(400))
    offers = {
        wood: WoodOffer(wood, NAMES[wood], (90, 60, 40), "dots", Decimal(10), "bf", stock)
        for wood in (*pattern.woods, border)
    }
    return to_record(reckon(pattern, spec, shop, offers, DEFAULT_TIMES, Rates(), Terms()))


def rack(wood="beech", *, thickness=25, width=100, length=900, count=1, worth="9", **kwargs) -> list[Piece]:
    sizes = [size if isinstance(size, Length) else mm(size) for size in (thickness, width, length)]
    mark = kwargs.pop("mark", wood[:3].upper())
    return [Piece(f"{mark}{n}", wood, *sizes, worth=Decimal(worth), **kwargs) for n in range(1, count + 1)]


def some_rows(rng: random.Random, height: int, width: int) -> list[str]:
    """A picture with background at its sides, so that it may have side borders."""
    return ["-" + "".join(rng.choice("bws-") for _ in range(width - 3)) + "b-" for _ in range(height)]


def made_by(plan) -> Counter:
    """Pieces a plan cuts, by the length its strips name."""
    made: Counter = Counter()
    for cut in plan.boards:
        for rough in cut.rough:
            for strip in (*rough.strips, *rough.under):
                for length, count in strip.parts:
                    made[strip.width, rough.thickness, length] += count
    return made
