"""The arithmetic of picture boards, pure: values in, frozen dataclasses out. No Django, clock, files or network.

The route of the work, and where each rule of the trade is:

    picture bytes -> picture/       decode within limits, read the grid, set the background aside
    colours       -> matching/      a wood for every colour, so that the picture can still be read
    a photo       -> sample         the colour of an oiled piece beside a card
    Pattern       -> pattern        the grid of woods: counts, runs, turns, text and PNG forms
    two of them   -> difference     which cells differ, woods and runs more and fewer
    Build         -> build/         pieces with places and stage sizes, joints, seams, counts; details
    Hints         -> mending/       loose tiles, slivers, likeness of the sides, weak seams, each with a mend
    Lumber        -> cutting/       spares, strips, rough lengths; fromshop/ makes a cut job of a record and the rack,
                                    plan/ says which board gives what, setups/ how the saw is set, buying/ what to buy
    Movement      -> movement/      moisture from a climate, and what a change of it does across the grain
    Glue-up       -> gluing/        tasks, holds and sessions -> a timetable, with what none undercuts
    Hours         -> hours/         standard times by counts, times learned from a log, forecasts
    Price         -> pricing/       cost lines, carriage, fees, tax, what is asked -> a price; floors, shares
    Asking        -> asking         the price asked, with every sum it is reached by
    Methods       -> methods/       every way to build it side by side: counts, hours, wood, seams, break-even, remedies
    all of it     -> reckoning      the route in one call; record: its JSON form
    from there    -> proposing/     back: sizes from how large it may be, what it may cost, where it is seen from
    the rack      -> shorts/        which parts of a kept record the pieces that lie there give
    on paper      -> drawing/       pattern, board and planks as SVG

Beside the route: measures (exact lengths, read and printed; length beneath it), figures (a number with its sum), woods
(published properties with sources), cautions (what to mind at each step), tally (board feet as a yard charges them),
lotcost (what each board cost), average (what consumables are worth), shop (kerfs, allowances, safe limits), errors.

The names below are the ones the app uses most; each is fetched from its module when first asked for, so that
reading a length loads neither NumPy nor Pillow. The function ``build`` stays at planner.build, its own package.

>>> from planner import Length, reckon
>>> Length.of_mm(19) + Length.of_inches("1/4")
Length('25.35 mm')
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.build import BoardSpec
    from planner.errors import PlannerError
    from planner.figures import Figure, Term
    from planner.matching import match_colours
    from planner.measures import (
        Length,
        format_length,
        parse_count,
        parse_length,
        parse_money,
        parse_number,
        parse_percent,
    )
    from planner.pattern import Pattern
    from planner.picture import read_picture
    from planner.reckoning import WoodOffer, reckon
    from planner.shop import Shop, StockSize
    from planner.woods import WOODS, wood

_MODULE_OF = {
    **dict.fromkeys(
        ("Length", "format_length", "parse_count", "parse_length", "parse_money", "parse_number", "parse_percent"),
        "planner.measures",
    ),
    **dict.fromkeys(("Figure", "Term"), "planner.figures"),
    **dict.fromkeys(("Shop", "StockSize"), "planner.shop"),
    **dict.fromkeys(("WoodOffer", "reckon"), "planner.reckoning"),
    **dict.fromkeys(("WOODS", "wood"), "planner.woods"),
    "BoardSpec": "planner.build",
    "Pattern": "planner.pattern",
    "PlannerError": "planner.errors",
    "match_colours": "planner.matching",
    "read_picture": "planner.picture",
}

__all__ = [
    "WOODS",
    "BoardSpec",
    "Figure",
    "Length",
    "Pattern",
    "PlannerError",
    "Shop",
    "StockSize",
    "Term",
    "WoodOffer",
    "format_length",
    "match_colours",
    "parse_count",
    "parse_length",
    "parse_money",
    "parse_number",
    "parse_percent",
    "read_picture",
    "reckon",
    "wood",
]


def __getattr__(name: str) -> object:
    if name not in _MODULE_OF:
        raise AttributeError(f"planner has no {name}")
    return getattr(import_module(_MODULE_OF[name]), name)
