"""How much room a drawing has, and the scales that go into it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

# Scales of working drawings: 1 to so much.
SCALES = tuple(
    Fraction(one)
    for one in ("1", "3/2", "2", "5/2", "3", "4", "5", "6", "15/2", "8", "10", "12", "25/2", "15", "20", "25", "30",
                "40", "50", "60", "75", "80", "100", "120", "150", "200", "250", "500", "1000")
)  # fmt: skip
WIDER = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40)
_TIMES = {
    2: "twice",
    **{n: f"{word} times" for n, word in zip(range(3, 7), ("three", "four", "five", "six"), strict=True)},
}


@dataclass(frozen=True, slots=True)
class Room:
    """All in the drawing's own units, millimetres on paper and pixels on a screen: ``width`` of the drawing; ``text``
    the size of type; ``least`` and ``most`` the width a board is drawn; ``fine`` a hairline; ``on_paper``
    whether the scale can be held a rule against, else the drawing fills its width. ``short`` leaves the lengths
    of rough lengths and the widths of strips to the list. ``high`` is the most a drawing is high that is not to
    be parted by the edge of a page: what an A4 and a Letter sheet both have between their margins."""

    width: float
    text: float
    least: float
    most: float
    fine: float
    on_paper: bool = False
    short: bool = False
    high: float = 220

    @property
    def step(self) -> float:
        """From one stroke of a hatch, or one dot, to the next."""
        return self.text * 0.42

    @property
    def line(self) -> float:
        """From one line of words to the next."""
        return self.text * 1.25

    def scales(self, length: float) -> Iterator[tuple[float, str]]:
        """(drawing units a millimetre, what is said of it) for a board ``length`` mm long, the largest first."""
        if not self.on_paper:
            for percent in range(100, 40, -1):
                yield self.width * percent / 100 / length, ""
            return
        for scale in SCALES:
            if length / scale <= self.width:
                yield float(1 / scale), f"1 : {float(scale):g}"
        yield self.width * 0.6 / length, ""


PAPER = Room(180, 3.7, 16, 54, 0.13, on_paper=True)
SCREEN = Room(760, 14.5, 68, 300, 0.5, high=1000)
PHONE = Room(340, 13, 60, 300, 0.45, short=True, high=1200)


def wider(needed: float, most: float) -> int:
    """How many times as large as its length a board's width is drawn: no more than is ``needed``, nor ``most``."""
    fit = [times for times in WIDER if times <= max(most, 1)]
    return next((times for times in fit if times >= needed), fit[-1])


def scale_words(scale: str, times: int) -> str:
    """What is said under a drawing.

    >>> scale_words("1 : 10", 2), scale_words("", 1)
    ('Drawn 1 : 10, the width twice as large', 'Drawn to scale')
    """
    words = f"Drawn {scale}" if scale else "Drawn to scale"
    return words if times == 1 else f"{words}, the width {_TIMES.get(times, f'{times} times')} as large"
