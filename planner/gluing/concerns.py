"""Which cautions belong to which step: kinds only, whose words and sources stand elsewhere.

machine_manual    setting machines up            small_parts   tiles at the saw: stand-off, hold-down, guard
short_stock       nothing too short is machined  kickback      ripping, planing, jointing, cutting to size
dust              whatever makes dust            irritant_woods  one of the board's woods irritates
glue_sheet        whatever is glued              glue_temperature  the sheet names a lowest temperature
hard_to_bond      one of the woods bonds badly   bleeding_woods  one of them stains its neighbours when sanded
finish_sheet      whatever is laid on            oily_rags     the finish dries, and its rags can heat themselves
food_contact      food may lie on the board
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.gluing.glueboard import GlueBoard
from planner.gluing.materials import Adhesive, Finish

_OF_KIND = {
    "ready": ("machine_manual",),
    "rough": ("short_stock", "kickback", "dust"),
    "rip": ("short_stock", "kickback", "dust"),
    "gauge": ("short_stock", "dust"),
    "cut": ("small_parts", "kickback", "dust"),
    "panel": ("glue_sheet",),
    "even": ("short_stock", "kickback", "dust"),
    "slice": ("small_parts", "kickback", "dust"),
    "row": ("glue_sheet",),
    "dress": ("short_stock", "kickback", "dust"),
    "join": ("glue_sheet",),
    "true": ("short_stock", "kickback", "dust"),
    "border": ("glue_sheet",),
    "flatten": ("short_stock", "kickback", "dust"),
    "halves": ("glue_sheet",),
    "size": ("kickback", "dust"),
    "details": ("machine_manual", "dust"),
    "sand": ("dust",),
    "coat": ("finish_sheet",),
    "wipe": ("finish_sheet",),
}
KINDS = (
    "machine_manual",
    "small_parts",
    "short_stock",
    "kickback",
    "dust",
    "irritant_woods",
    "glue_sheet",
    "glue_temperature",
    "hard_to_bond",
    "bleeding_woods",
    "finish_sheet",
    "oily_rags",
    "food_contact",
)


def concerns_of(kind: str, board: GlueBoard, adhesive: Adhesive, finish: Finish) -> tuple[str, ...]:
    """The kinds of caution that belong to a step of that kind, in the order of KINDS."""
    found = set(_concerns(kind, board, adhesive, finish))
    return tuple(one for one in KINDS if one in found)


def _concerns(kind: str, board: GlueBoard, adhesive: Adhesive, finish: Finish) -> Iterator[str]:
    plain: tuple[str, ...] = _OF_KIND.get(kind, ())
    if board.panels and kind in ("dress", "flatten"):
        # End grain is worked by hand, sander or router sled: nothing goes through a planer.
        plain = ("dust",)
    yield from plain
    if "dust" in plain and "dust" in board.wood_cautions:
        yield "irritant_woods"
    if "glue_sheet" in plain:
        if adhesive.lowest_celsius is not None:
            yield "glue_temperature"
        if "bonding" in board.wood_cautions:
            yield "hard_to_bond"
    if kind == "sand" and "colour" in board.wood_cautions:
        yield "bleeding_woods"
    if "finish_sheet" in plain:
        if finish.drying:
            yield "oily_rags"
        if board.use != "wall":
            yield "food_contact"
