"""A board as an address asks the reckoning for it: every field as somebody would type it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from urllib.parse import urlencode

from django.urls import reverse

from planner.measures import length_as_typed
from shopapp.common.fields import plain_number
from shopapp.designs.models import PatternVersion
from shopapp.workshop.models import Workshop

_SIZES = ("pitch", "thickness", "side_border", "end_border")
_PLAIN = ("use", "border_wood", "method", "along", "quantity", "asks")


def asked_of_board(version: PatternVersion, board: Mapping, workshop: Workshop) -> dict[str, str]:
    """What the reckoning's form reads back as the same ``board``: each length exactly."""
    asked = {name: length_as_typed(board[name], workshop.unit) for name in _SIZES}
    asked |= {name: str(board[name]) for name in _PLAIN}
    kept = Fraction(board["margin"])
    return asked | {
        "margin": plain_number(kept if board["asks"] == "profit" else kept * 100),
        "details": ",".join(board.get("details", ())),
        "unit_shown": workshop.unit,
        "drawing": str(version.number),
    }


def reckoning_of(version: PatternVersion, board: Mapping, workshop: Workshop) -> str:
    """The address of the reckoning of ``board``."""
    asked = asked_of_board(version, board, workshop)
    return f"{reverse('plans:reckoning', args=[version.design_id])}?{urlencode(asked)}"
