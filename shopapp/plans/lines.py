"""The lines a record's pages and papers are made of: woods, parts, rows, panels, and parts of the price."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class WoodLine:
    """One wood of a record beside its plank."""

    record: Mapping
    plank: str


@dataclass(frozen=True)
class PartLine:
    """One kind of part: where it belongs, how many, spares left out, and its size at each stage."""

    record: Mapping
    name: str
    wood_name: str
    pieces: int

    @property
    def stages(self) -> Mapping:
        """Length, width and thickness when each stage is done."""
        return self.record["stages"]


@dataclass(frozen=True)
class LaidRun:
    wood_name: str
    tiles: int
    border: bool
    length: str


@dataclass(frozen=True)
class PanelLine:
    """Panels alike: their strips from left to right with the width each is gauged to, how many are glued how long, how
    many slices come of them, and the rows of a board they are."""

    record: Mapping
    strips: list[LaidRun]
    rows: list[LaidRow]

    @property
    def number(self) -> int:
        return self.record["number"]

    @property
    def sliced(self) -> str:
        return self.record["sliced"]

    @property
    def lengths(self) -> list[list]:
        return self.record["lengths"]


@dataclass(frozen=True)
class LaidRow:
    """``first`` to ``last`` are the rows of the picture it is made of: more than one where it is deep."""

    number: int
    runs: list[LaidRun]
    first: int
    last: int
    panel: int = 0
    turned: bool = False

    @property
    def count(self) -> int:
        return len(self.runs)


@dataclass(frozen=True)
class Share:
    """A part of the price, for the bar that shows where it goes."""

    name: str
    figure: Mapping
    percent: Fraction
    x: str
    width: str
