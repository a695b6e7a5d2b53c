"""Sums that follow on each other, month by month: a bar for each, under one another, with its amount at the line's end.

What is below nought lies left of the line they all begin at. Kinds are told apart by their hatches, so that grey paper
says it all; nothing is worked out but how long a bar is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.drawing.looks import DARK_INK
from planner.drawing.marking.ink import stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.working.canvas import Canvas, ink

# The pale ground of each series and the way it is hatched, in the order they are told.
_LOOKS = (("#d3dfc9", "rise"), ("#e2bda4", "fall"), ("#ecdcbb", "dots"))
MOST = len(_LOOKS)


@dataclass(frozen=True, slots=True)
class Month:
    """Its name and an amount for each series; ``amounts`` are as many as there are series."""

    name: str
    amounts: tuple[Decimal, ...]


def months_svg(
    series: Sequence[str],
    months: Sequence[Month],
    says: Callable[[Decimal], str],
    *,
    room: Room = PAPER,
    title: str = "",
) -> str:
    """Bars of one to three ``series``; ``says`` writes an amount. Every amount carries ``data-sum``, ``data-scale`` on
    the root is drawing units a unit of money (0 where every amount is nought), ``data-from`` where bars begin."""
    if not 1 <= len(series) <= MOST or any(len(month.amounts) != len(series) for month in months):
        raise ValueError("an amount for each of one to three series")
    canvas, text = Canvas(room), room.text
    amounts = [amount for month in months for amount in month.amounts]
    most, least = max([*amounts, Decimal(0)]), min([*amounts, Decimal(0)])
    left = max((wide(month.name, text) for month in months), default=0) + text * 0.6
    right = max((wide(says(amount), text * 0.9) for amount in amounts), default=0) + text * 0.6
    span = room.width - left - right - room.fine
    scale = Fraction(span) / Fraction(most - least) if most > least else Fraction(0)
    start = left + float(-Fraction(least) * scale)
    y = _legend(canvas, series) if len(series) > 1 else 0.0
    top = y
    for month in months:
        canvas.write(0, y + text, month.name)
        for at, amount in enumerate(month.amounts):
            long = float(Fraction(amount) * scale)
            _bar(canvas, at, start + min(long, 0.0), y + text * 0.25, abs(long))
            canvas.write(
                room.width, y + text, says(amount), text * 0.9, anchor="end", data={"sum": str(amount)}
            )  # fmt: skip
            y += text * 1.2
        y += text * 0.45
    canvas.upright("start", start, top, y - top - text * 0.3)
    kinds = [("start", ink(room.fine * 1.6))]
    for at, (ground, way) in enumerate(_LOOKS):
        kinds.append((f"bar {at}", f'fill="{ground}" stroke="{DARK_INK}" stroke-width="{room.fine}"'))
        kinds.append((f"hatch {at}", stroke(room.fine * (2 if way == "dots" else 1.2))))
    said = " ".join(f"{month.name}: {_said(series, month, says)}." for month in months)
    data = {"scale": f"{float(scale):.9g}", "from": f"{start:.9g}"}
    return canvas.svg(y, title or ", ".join(series), said, kinds, data)


def _said(series: Sequence[str], month: Month, says: Callable[[Decimal], str]) -> str:
    return ", ".join(f"{name} {says(amount)}" for name, amount in zip(series, month.amounts, strict=True))


def _bar(canvas: Canvas, at: int, x: float, y: float, long: float) -> None:
    if long <= 0:
        return
    high = canvas.text * 0.85
    canvas.box(f"bar {at}", x, y, long, high)
    if long > canvas.fine:
        canvas.hatch(f"hatch {at}", _LOOKS[at][1], x, y, long, high, canvas.text * 0.36)


def _legend(canvas: Canvas, series: Sequence[str]) -> float:
    """What the hatches are, in as many lines as it takes."""
    text, x, y = canvas.text, 0.0, 0.0
    for at, name in enumerate(series):
        needed = text * 2.4 + wide(name, text)
        if x and x + needed > canvas.room.width:
            x, y = 0.0, y + text * 1.5
        _bar(canvas, at, x + canvas.fine, y + text * 0.25, text * 1.6)
        canvas.write(x + text * 2, y + text, name)
        x += needed + text
    return y + text * 1.9
