"""Where each unit of money of one sale goes: what the buyer pays, down to every line it is shared out to.

Drawn as ``money`` draws a record: bars begin where the one above them ended, every line says its name, sum and share,
and kinds are told apart by their hatches, woods by colour and mark, so that grey paper says it all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from planner.drawing.looks import WoodLook
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.working.canvas import Canvas
from planner.drawing.working.money import Falling, Line, Part, sentences_of

# What a share of a sale is drawn as, by its kind (``planner.pricing.shares.KINDS``).
_DRAWN = {
    "wood": "wood",
    "supplies": "supplies",
    "hardware": "supplies",
    "labour": "hours",
    "overhead": "running",
    "reserve": "running",
    "packaging": "running",
    "rounding": "running",
    "carriage": "carriage",
    "fee": "fees",
    "tax": "tax",
    "profit": "kept",
    "loss": "loss",
}


@dataclass(frozen=True, slots=True)
class Told:
    """One share: its name, its kind, the money, and of a wood its id."""

    name: str
    kind: str
    money: Decimal
    wood: str = ""


def shares_svg(
    buyer_pays: Decimal,
    shares: Sequence[Told],
    looks: Mapping[str, WoodLook],
    says: Callable[[Decimal], str],
    *,
    room: Room = PAPER,
    title: str = "",
    whole: str = "The buyer pays",
) -> str:
    """``shares`` add up to ``buyer_pays``, a loss below nought among them; ``looks`` every wood of them, ``says``
    writes an amount. Wood without a look is drawn bare. Every sum carries ``data-sum``."""
    lines = tuple(
        Line(one.name, one.money, kind if one.wood in looks or kind != "wood" else "woods", one.wood)
        for one in shares
        for kind in (_DRAWN[one.kind],)
    )
    out = sum((line.amount for line in lines if line.amount > 0), Decimal(0))
    part = Part(Line(whole, buyer_pays, ""), "of what is paid", lines, True, max(out, buyer_pays))
    drawing = Falling(Canvas(room), looks, says, None, part)
    y = drawing.lines(part, drawing.whole(part, 0.0))
    return drawing.svg(y, title or "Where the money goes", sentences_of(part, says))
