"""What an entry over many pieces did to one of them, in a sentence read from its move."""

from __future__ import annotations

from collections.abc import Mapping

from planner.measures import Length, format_length
from shopapp.lumber.models import StockMove, StockPiece
from shopapp.lumber.stock.ledger import NOT_FOUND

SIDES = ("thickness", "width", "length")
_WORDS = {"thickness": "thick", "width": "wide", "length": "long"}


def told_of_move(move: StockMove, unit: str) -> str:
    """One sentence or more about one piece: lost, found again, measured otherwise, lies elsewhere."""
    mark, before, after = move.piece.mark, move.before, move.after
    told = []
    if after.get("state") == StockPiece.State.MISSING:
        told.append(f"{mark} was not found.")
    elif move.came_from == NOT_FOUND:
        told.append(f"{mark} was found again.")
    if any(side in after for side in SIDES):
        told.append(f"{mark} measures {_said(after, unit)}; the book had {_said(before, unit)}.")
    if "place" in after:
        told.append(f"{mark} lies in {_place(after)}; the book had it in {_place(before)}.")
    return " ".join(told)


def _said(sides: Mapping[str, object], unit: str) -> str:
    """Only the sides that changed: "1990 mm long"."""
    return ", ".join(
        f"{format_length(Length.from_nm(int(sides[side])), unit)} {_WORDS[side]}" for side in SIDES if side in sides
    )


def _place(values: Mapping[str, object]) -> str:
    return f"“{values['place']}”" if values["place"] else "no named place"
