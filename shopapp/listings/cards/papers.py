"""What cards, labels and tags are printed on, by their measures."""

from __future__ import annotations

from dataclasses import dataclass

from planner.measures import Length
from shopapp.lumber.labels.papers import PAPERS as BOARD_PAPERS
from shopapp.lumber.labels.papers import Paper

_in = Length.of_inches
_mm = Length.of_mm


@dataclass(frozen=True)
class Card:
    """A card ``wide`` by ``high``; a folded one is two such side by side on each face of its sheet."""

    words: str
    wide: Length
    high: Length
    folded: bool = False


# A5 and A6: ISO 216. Half and quarter of a Letter sheet: 8.5 by 11 in, ANSI/ASME Y14.1.
CARDS = {
    "a6": Card("A6 card, both faces: 105 × 148 mm", _mm(105), _mm(148)),
    "a5": Card("A5 sheet, folded once to A6", _mm(105), _mm(148), folded=True),
    "quarter": Card("quarter of a Letter sheet, both faces: 4 1/4 × 5 1/2 in", _in("17/4"), _in("11/2")),
    "half": Card("half a Letter sheet, folded once", _in("17/4"), _in("11/2"), folded=True),
}


def _alone(sheet: str, width: Length, height: Length) -> Paper:
    nothing = _mm(0)
    return Paper(sheet, 1, 1, width, height, nothing, nothing, nothing, nothing)


# Grids that are sold everywhere, by their measures (from memory: lay a sheet against the light over a first print).
_A4_8 = Paper(
    "a4", 2, 4, _mm("99.1"), _mm("67.7"), _mm("4.65"), _mm("13.1"), _mm("2.5"), _mm(0)
)  # fmt: skip
_LETTER_10 = Paper("letter", 2, 5, _in(4), _in(2), _in("5/32"), _in("1/2"), _in("3/16"), _mm(0))
# One on a page of its own size, for a label printer or to cut out.
ALONE = {
    "one-100": _alone("a4", _mm(100), _mm(70)),
    "one-4": _alone("letter", _in(4), _in("5/2")),
    "one-70": _alone("a4", _mm(70), _mm(37)),
    "one-3": _alone("letter", _in(3), _in("3/2")),
}
LABELS = {"a4-8-99": _A4_8, "letter-10": _LETTER_10, "one-100": ALONE["one-100"], "one-4": ALONE["one-4"]}
TAGS = {
    **BOARD_PAPERS,
    "a4-8-99": _A4_8,
    "letter-10": _LETTER_10,
    "one-70": ALONE["one-70"],
    "one-3": ALONE["one-3"],
}
