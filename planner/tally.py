"""Board measure as a yard tallies it: what is paid for, beside what is there.

A seller seldom charges the exact volume. Surface measure rounds each board's face to whole square feet, an outward
tally rounds its width and cuts its length down to whole feet first, and stock thinner than an inch is often charged
as an inch. Which of these a seller does is asked of the seller; both measures are kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from planner.errors import PlannerError
from planner.length import Length
from planner.measures import board_feet, volume_mm3

# Square feet of face, whole; the nearest, exact halves up and down in turn (American hardwood surface measure:
# americanhardwood.org, "Measurement"; NHLA, Rules Corner, "Surface measure". The turn at exact halves: from memory).
SURFACE = "surface"
# Width to the nearest inch, exact halves up and down in turn, length down to whole feet (bundle tally for export:
# americanhardwood.org, "Measurement").
WHOLE = "whole"
# Width up to the next inch, length down to whole feet (a habit of some yards; common practice, no source).
WIDTH_UP = "width up"
EXACT = "exact"
RULES = (EXACT, SURFACE, WHOLE, WIDTH_UP)

INCH = Length.of_inches(1)
FOOT = Length.of_inches(12)


@dataclass(frozen=True, slots=True)
class TallyRule:
    """How a seller counts: ``rule`` is one of RULES; ``thin_as_inch`` counts stock under an inch as an inch."""

    rule: str = EXACT
    thin_as_inch: bool = False

    def __post_init__(self) -> None:
        if self.rule not in RULES:
            raise PlannerError(f"There is no tally rule “{self.rule}”.", mend=f"Choose one of {', '.join(RULES)}.")


@dataclass(frozen=True, slots=True)
class BoardSize:
    """A board as it is charged: nominal thickness (5/4 is 1 1/4 in), width and length; ``count`` of them alike."""

    thickness: Length
    width: Length
    length: Length
    count: int = 1


@dataclass(frozen=True, slots=True)
class Tallied:
    """Board feet of one line, all its boards together: ``paid`` by the seller's rule, ``there`` as measured."""

    paid: Fraction
    there: Fraction


def tally(boards: Sequence[BoardSize], rule: TallyRule, numbers: Sequence[int] | None = None) -> tuple[Tallied, ...]:
    """Board feet of every line of a delivery, in its order, which exact halves rounded in turn depend on.

    The first exact half goes up, the next down. A length under a whole foot, where lengths count in whole feet, is
    refused: it would be charged as nothing. Raises PlannerError naming the line by its place, or by its number among
    ``numbers`` where these lines are some of many.

    >>> board = BoardSize(Length.of_inches(2), Length.of_inches("25/4"), Length.of_inches(96))
    >>> tally([board], TallyRule(SURFACE))[0].paid
    Fraction(8, 1)
    """
    halves = _InTurn()
    lines = []
    for number, board in zip(numbers or range(1, len(boards) + 1), boards, strict=True):
        _check(board, rule, number)
        there = board_feet(volume_mm3(board.thickness, board.width, board.length)) * board.count
        charged = max(board.thickness, INCH) if rule.thin_as_inch else board.thickness
        faces = sum((_face(board, rule.rule, halves) for _ in range(board.count)), Fraction(0))
        lines.append(Tallied(faces * (charged / INCH), there))
    return tuple(lines)


class _InTurn:
    """Rounds to the nearest whole number; of exact halves the first goes up, the second down, and so on."""

    def __init__(self) -> None:
        self._up = True

    def __call__(self, value: Fraction) -> int:
        whole = floor(value)
        if value - whole != Fraction(1, 2):
            return floor(value + Fraction(1, 2))
        self._up = not self._up
        return whole if self._up else whole + 1


def _face(board: BoardSize, rule: str, halves: _InTurn) -> Fraction:
    """Square feet of one board's face as the rule counts them."""
    width, feet = board.width / INCH, board.length / FOOT
    if rule == EXACT:
        return width * feet / 12
    if rule == SURFACE:
        return Fraction(halves(width * floor(feet) / 12))
    inches = -floor(-width) if rule == WIDTH_UP else halves(width)
    return Fraction(inches * floor(feet), 12)


def _check(board: BoardSize, rule: TallyRule, number: int) -> None:
    if min(board.thickness, board.width, board.length) <= Length.of_mm(0) or board.count < 1:
        raise PlannerError(f"Line {number} has a board without a size.", mend="Give thickness, width and length.")
    if rule.rule != EXACT and board.length < FOOT:
        raise PlannerError(
            f"The board of line {number} is shorter than a foot, and this seller counts whole feet.",
            mend="Tally it exactly, or by the piece.",
        )
