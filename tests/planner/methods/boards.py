"""Boards to compare: pictures of chance, a shop in round numbers, and woods at a plain price."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np

from planner.build import BoardSpec
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.methods import Maker
from planner.pattern import Pattern
from planner.pricing import Rates
from planner.reckoning import WoodOffer
from planner.shop import Shop, StockSize

mm = Length.of_mm
WOODS = ("beech", "sycamore", "walnut-black")
SHOP = Shop(longest_rip=mm(900))
SPEC = BoardSpec("wall", mm(20), mm(18), mm(30), mm(22), "runs", 1, "sycamore")


def maker(shop: Shop = SHOP, *, stock: StockSize | None = None, **times: int) -> Maker:
    size = stock or StockSize(mm(35), mm(160))
    offers = {
        wood: WoodOffer(wood, wood, (9, 9, 9), "a", Decimal(8 + n), ("bf", "m3")[n % 2], size)
        for n, wood in enumerate(WOODS)
    }
    return Maker(shop, offers, {**DEFAULT_TIMES, **{name: Fraction(time) for name, time in times.items()}}, Rates())


def chance(seed: int, *, framed: bool = True) -> Pattern:
    """A picture of chance with a frame of background. Every second has equal neighbours among its rows and columns, and
    rows that come again or turned."""
    rng = np.random.default_rng(seed)
    rows, columns = rng.integers(2, 7, size=2)
    cells = rng.integers(-1, len(WOODS), size=(rows, columns))
    if seed % 2:
        cells = np.vstack([cells, cells[::-1, ::-1], cells[:1], cells[:1]])
        cells = np.hstack([cells[:, :1], cells, cells[:, -1:]])
    cells[0, 0] = 0
    if framed:
        cells = np.pad(cells, 1, constant_values=-1)
    return Pattern.of([[None if n < 0 else WOODS[n] for n in row] for row in cells.tolist()])


def spec(**changes: object) -> BoardSpec:
    return replace(SPEC, **changes)  # type: ignore[arg-type]
