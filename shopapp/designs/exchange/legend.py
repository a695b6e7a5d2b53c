"""Marks of a grid, and what each most likely stands for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from .planning import BACKGROUND_MARKS, Looks, Pasted

BACKGROUND = "-"


@dataclass(frozen=True)
class LegendLine:
    """A mark, how many cells it fills, and the wood it is likely to be, empty when nothing says. ``lacking`` is
    "never" when it names a wood the maker never had, "out" when it names one that is not on hand now."""

    mark: str
    cells: int
    guess: str
    name: str = ""
    lacking: str = ""

    @property
    def label(self) -> str:
        shown = {"": "Empty cells", " ": "Blanks"}.get(self.mark, f"“{self.name or self.mark}”")
        return f"{shown}, {self.cells} {'cell' if self.cells == 1 else 'cells'}"


READ_AS = {
    "runs": "rows of runs",
    "tabs": "cells divided by tabs",
    "commas": "cells divided by commas",
    "semicolons": "cells divided by semicolons",
    "blanks": "cells divided by blanks",
    "letters": "one letter a cell",
}


def read_as(pasted: Pasted) -> str:
    """How a text was read, in words, so that a wrong guess is seen before anything is kept."""
    rows, columns = len(pasted.rows), len(pasted.rows[0])
    return f"Read as {rows} {'row' if rows == 1 else 'rows'} of {columns}, {READ_AS[pasted.kind]}."


def plain_meaning(pasted: Pasted, on_hand: Collection[str]) -> dict[str, str | None] | None:
    """What rows of runs stand for when every name in them is a wood on hand; None when it must be asked."""
    if pasted.kind != "runs" or any(mark != BACKGROUND and mark not in on_hand for mark in pasted.marks):
        return None
    return {mark: None if mark == BACKGROUND else mark for mark in pasted.marks}


def legend_of(
    pasted: Pasted, looks: Looks, on_hand: Collection[str], names: Mapping[str, str], known: Mapping[str, str]
) -> list[LegendLine]:
    """Every mark with a guess: as it was answered before (``known``), the wood of that id or name, or background."""
    by_name = {look.name.casefold(): wood for wood, look in looks.items() if wood}
    lines = []
    for mark, cells in pasted.marks.items():
        name = names.get(mark, "")
        guess = known.get(mark) or (mark if mark in looks else "") or by_name.get((name or mark).strip().casefold(), "")
        if not guess and mark in BACKGROUND_MARKS:
            guess = BACKGROUND
        lacking = ""
        if pasted.kind == "runs" and mark != BACKGROUND and mark not in on_hand:
            lacking = "out" if mark in looks else "never"
        lines.append(LegendLine(mark, cells, guess, name, lacking))
    return lines
