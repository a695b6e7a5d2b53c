"""Boards to glue up, from kept reckonings, and a shop to do it in. Sizes and times are invented to measure by."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache

from planner.build import BoardSpec
from planner.gluing import GlueBoard, glue_board_of, glue_work
from planner.gluing.materials import Adhesive, Around, Clamps, Finish, GlueShop, RowJigs
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.pattern import Pattern
from planner.pricing import Rates, Terms
from planner.reckoning import Reckoning, WoodOffer, reckon
from planner.record import to_record
from planner.shop import Shop, StockSize
from planner.woods import WOODS
from tests.support.glue_works import sessions

mm = Length.of_mm
INKS = ("walnut-black", "padauk", "beech", "sapele")
OFFERS = {
    name: WoodOffer(
        name, WOODS[name].name, WOODS[name].finished_rgb, "ring", Decimal(12), "bf", StockSize(mm(32), mm(150))
    )
    for name in ("sycamore", *INKS)
}
WHITE = Adhesive("White glue", open=5, assembly=15, clamped=30, machining=1440, sanding=2880)
OIL = Finish("Oil", 1, 60, 2, 30, 90, 1440, 4320, drying=True)
SHOP = GlueShop(
    people=1,
    jigs=(RowJigs("Long jig", 2, mm(1200)),),
    clamps=(Clamps("Short", 12, mm(300)), Clamps("Long", 12, mm(1000))),
    bench_places=2,
    row_clamps=3,
    clamp_every=mm(150),
    widest_flattened=mm(1000),
)
AT_ONCE = Around(in_hand=True, buying_days=7, settling_days=14, rest_days=0, photographs=0, packing=0, carrier_days=0)
ALL_AROUND = Around(
    in_hand=False, buying_days=7, settling_days=14, rest_days=2, photographs=20, packing=25, carrier_days=2
)


def board_of(rows: Sequence[Sequence[str | None]], **changes) -> Reckoning:
    """The reckoning of a picture drawn in woods: tiles of 25 mm, side borders of 30 and others of 25 mm."""
    spec = BoardSpec("wall", mm(25), mm(20), mm(30), mm(25), "runs", 1, "sycamore")
    asked = replace(spec, **changes)
    return reckon(Pattern.of(rows), asked, Shop(), OFFERS, DEFAULT_TIMES, Rates(), Terms())


@cache
def reckoned(side: int, method: str = "runs", quantity: int = 1, border: int = 25) -> Reckoning:
    """A picture of ``side`` by ``side`` tiles at random, background around it and here and there within."""
    random_ = random.Random(side)
    rows = [
        [None if x in (0, side - 1) or y in (0, side - 1) else random_.choice((None, *INKS)) for x in range(side)]
        for y in range(side)
    ]
    return board_of(rows, method=method, quantity=quantity, end_border=mm(border))


def board(side: int, *args, **given) -> GlueBoard:
    return glue_board_of(to_record(reckoned(side, *args, **given)))


def work(*boards, shop=SHOP, adhesive=WHITE, finish=OIL, around=AT_ONCE, times=DEFAULT_TIMES, weeks=20, **given):
    free = given.pop("sessions", sessions(weeks))
    return glue_work(boards, shop, adhesive, finish, around, times, free, **given)
