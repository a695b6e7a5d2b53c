"""Small grids of letters, and a mend laid on a pattern as a maker would."""

from __future__ import annotations

from hypothesis import strategies as st

from planner.mending import Hint
from planner.pattern import Pattern

WOODS = {"b": "beech", "w": "walnut", "s": "sapele", ".": None}


def grid(text: str) -> Pattern:
    return Pattern.of([[WOODS[letter] for letter in row] for row in text.split()])


def cells_of(pattern: Pattern) -> list[list[str | None]]:
    return [[pattern.cell(r, c) for c in range(pattern.width)] for r in range(pattern.height)]


def mended(pattern: Pattern, hint: Hint) -> Pattern:
    cells = cells_of(pattern)
    for lay in hint.mend.lay:
        cells[lay.row][lay.column] = lay.wood
    return Pattern.of(cells)


@st.composite
def grids(draw, letters: str = "bws.", most: int = 8):
    height, width = draw(st.integers(1, most)), draw(st.integers(1, most))
    row = st.text(letters, min_size=width, max_size=width)
    return grid(" ".join(draw(st.lists(row, min_size=height, max_size=height))))
