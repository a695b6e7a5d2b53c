"""How large a working drawing comes out: scales a rule can be held against on paper, whatever fills the screen else."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from planner.drawing.marking.ink import Sheet
from planner.drawing.marking.room import SCALES, Room


@dataclass(frozen=True, slots=True)
class Around:
    """The room that words and dimensions take around a board, in drawing units."""

    left: float
    right: float
    top: float
    foot: float


def fitted(room: Room, long: Fraction, high: Fraction, around: Callable[[float], Around]) -> tuple[Sheet, str]:
    """The sheet for a board ``long`` by ``high`` mm, as large as it and what is ``around`` it at a scale have room, in
    the middle of its width; and what is said of the scale."""
    scale, words = next(
        one
        for one in _scales(room, long, high)
        if one[0] <= _least(room, long, high) or _fits(room, long, high, around, one[0])
    )
    beside = around(scale)
    spare = room.width - beside.left - beside.right - float(long) * scale
    return Sheet(scale, scale, beside.left + max(0.0, spare / 2), beside.top, room.fine), words


def _fits(room: Room, long: Fraction, high: Fraction, around: Callable[[float], Around], scale: float) -> bool:
    beside = around(scale)
    broad = beside.left + float(long) * scale + beside.right
    return broad <= room.width and beside.top + float(high) * scale + beside.foot <= room.high


def _least(room: Room, long: Fraction, high: Fraction) -> float:
    return min(room.width / float(long), room.high / float(high)) * 0.04


def _scales(room: Room, long: Fraction, high: Fraction) -> Iterator[tuple[float, str]]:
    """(drawing units a millimetre, what is said of it), the largest first."""
    least = _least(room, long, high)
    if room.on_paper:
        yield from ((float(1 / one), f"1 : {float(one):g}") for one in SCALES if float(1 / one) > least)
    else:
        yield from ((least * percent / 4, "") for percent in range(100, 4, -1))
    yield least, ""


def scale_within(room: Room, *limits: tuple[Fraction, float]) -> tuple[float, str]:
    """The largest scale at which every length in mm stays within its limit in drawing units, and what is said of it on
    paper."""
    most = min(limit / float(mm) for mm, limit in limits)
    if room.on_paper:
        for one in SCALES:
            if float(1 / one) <= most:
                return float(1 / one), f"1 : {float(one):g}"
    return most, ""
