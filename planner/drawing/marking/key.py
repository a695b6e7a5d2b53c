"""What the hatches of a marking-out drawing mean, each on a small piece of wood."""

from __future__ import annotations

from planner.drawing.looks import WoodLook, opening
from planner.drawing.marking.ink import Sheet, painted
from planner.drawing.marking.laid import Box

_LONG, _HIGH, _KERF = 30, 12, 2


def key_svgs(look: WoodLook) -> list[tuple[str, str]]:
    """(words, drawing of 30 by 12) for everything that is drawn on a board's wood."""
    return [(words, _piece(look, kind, f"How it is drawn: {words}")) for kind, words in _KINDS.items()]


_KINDS = {
    "parts": "parts, a dark line for every saw cut",
    "waste": "trims, snipe and waste",
    "grip": "the grip: held, never cut",
    "offcuts": "an offcut that goes back to the rack",
    "bad": "bad wood, avoided",
}


def _piece(look: WoodLook, kind: str, title: str) -> str:
    sheet = Sheet(1, 1, 0.5, 0.5, 0.35)
    box = Box(0, 0, _LONG - 1, _HIGH - 1)
    sheet.box("board", box)
    if kind == "parts":
        sheet.box("parts", box)
        for x in (9.5, 19.5):
            sheet.upright("crosscuts", x, 0.5, _HIGH - 1)
    elif kind == "waste":
        sheet.hatch("waste", box, 3.2)
    elif kind == "grip":
        sheet.dots("grip", box, 3.2)
    elif kind == "offcuts":
        sheet.box("offcuts", Box(2, 2, _LONG - 5, _HIGH - 5))
    else:
        sheet.box("bad", box)
        sheet.cross("bad", box)
    if kind != "bad":
        sheet.box("outline", box)
    size = f'width="{_LONG}" height="{_HIGH}"'
    return f"{opening(_LONG, _HIGH, title, size)}{painted(sheet, look, _KERF * 0.6, _KERF, 3.2)}</svg>"
