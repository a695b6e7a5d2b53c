"""The details that are offered: what each is, its size, how its work is counted, and what it needs of a border.

All sizes, minutes and prices are assumptions: from memory and common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import ZERO, Length

_mm = Length.of_mm
_ANY = ("wall", "serving", "trivet")
_LAID_DOWN = ("serving", "trivet")


@dataclass(frozen=True, slots=True)
class DetailKind:
    """``by`` says what ``minutes`` are counted by: "board", "metre" or "piece", of which there are ``pieces``.
    ``place`` is where it needs a ``border`` so wide on each of ``surfaces``: "all" of them, "strong" for those along
    the rows, "top" or "bottom" as the board hangs, "" for none. ``depth`` goes ``of_thickness`` times into the board,
    a ``screw`` so deep. ``size`` is a profile's, a groove's width, or how far a handle's screws stand apart; ``inset``
    how far something begins from the edge or the corner."""

    key: str
    words: str
    where: str
    by: str
    minutes: Fraction
    uses: tuple[str, ...] = _ANY
    pieces: int = 1
    hardware: int = 0
    price: Decimal = Decimal(0)
    place: str = ""
    border: Length = ZERO
    surfaces: tuple[str, ...] = ()
    size: Length = ZERO
    depth: Length = ZERO
    of_thickness: int = 2
    screw: Length = ZERO
    inset: Length = ZERO

    @property
    def counted(self) -> str:
        return {"metre": "Length", "piece": "Pieces", "board": "Boards"}[self.by]

    @property
    def each(self) -> str:
        return {"metre": "a metre", "piece": "apiece", "board": "a board"}[self.by]

    @property
    def for_whom(self) -> str:
        return "to hang on a wall" if self.uses == ("wall",) else "to serve dry food on, or as a trivet"


def _kinds() -> tuple[DetailKind, ...]:
    return (
        DetailKind(
            "chamfer",
            "Edges chamfered",
            "all around, both faces, {size} wide",
            "metre",
            Fraction(2),
            place="all",
            border=_mm(3),
            surfaces=("face", "back"),
            size=_mm(3),
        ),
        DetailKind(
            "round",
            "Edges rounded over",
            "all around, both faces, {size} radius",
            "metre",
            Fraction(3),
            place="all",
            border=_mm(6),
            surfaces=("face", "back"),
            size=_mm(6),
        ),
        DetailKind(
            "grips",
            "Finger grips",
            "under the middle of the {strong}, {depth} up and 12 mm in from the edge, 100 mm long",
            "piece",
            Fraction(10),
            pieces=2,
            place="strong",
            border=_mm(20),
            surfaces=("back",),
            depth=_mm(8),
            uses=_LAID_DOWN,
        ),
        DetailKind(
            "handles",
            "Handles, screwed on",
            "in the middle of the {strong}, screws {size} apart and in holes a little wide",
            "piece",
            Fraction(12),
            pieces=2,
            hardware=2,
            price=Decimal("6.00"),
            place="strong",
            border=_mm(30),
            surfaces=("face",),
            size=_mm(96),
            screw=_mm(12),
            uses=_LAID_DOWN,
        ),
        DetailKind(
            "groove",
            "Juice groove",
            "around the picture, {inset} in from the edge, {size} wide and {depth} deep",
            "metre",
            Fraction(15),
            place="all",
            border=_mm(25),
            surfaces=("face",),
            size=_mm(10),
            depth=_mm(4),
            of_thickness=3,
            inset=_mm(10),
            uses=_LAID_DOWN,
        ),
        DetailKind(
            "feet",
            "Feet",
            "under the {strong}, near the corners, each on one screw",
            "piece",
            Fraction(3),
            pieces=4,
            hardware=4,
            price=Decimal("0.80"),
            place="strong",
            border=_mm(26),
            surfaces=("back",),
            screw=_mm(12),
            inset=_mm(25),
            uses=_LAID_DOWN,
        ),
        DetailKind(
            "hanger",
            "Hanger",
            "let into the back of the top border, its screws in slots across the grain, so that the board can move",
            "piece",
            Fraction(10),
            pieces=2,
            hardware=2,
            price=Decimal("1.50"),
            place="top",
            border=_mm(25),
            surfaces=("back",),
            screw=_mm(12),
            inset=_mm(60),
            uses=("wall",),
        ),
        DetailKind("mark", "Maker’s mark", "on the back", "board", Fraction(5)),
        DetailKind(
            "dedication",
            "Dedication",
            "in the bottom border, letters {size} high",
            "board",
            Fraction(30),
            place="bottom",
            border=_mm(18),
            surfaces=("face",),
            size=_mm(8),
        ),
    )


DETAILS: Mapping[str, DetailKind] = {kind.key: kind for kind in _kinds()}
