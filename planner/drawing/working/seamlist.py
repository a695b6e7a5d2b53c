"""Seams of a record with where they are bare, and what is told of them in words and numbers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.drawing.working.dimensions import Says
from planner.drawing.working.places import Laid

# A seam's class by the share of the board's height that long grain carries, and what is said of it.
CLASSES = (
    (Fraction(1, 4), "under a quarter"),
    (Fraction(1, 2), "under a half"),
    (Fraction(3, 4), "under three quarters"),
    (Fraction(2), "three quarters or more"),
)


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam of the record with where its bare stretches lie, from and to across the finished board."""

    column: int
    x: Fraction
    carried: Fraction
    of: Fraction
    gap: Fraction
    bare: tuple[tuple[Fraction, Fraction], ...]

    @property
    def kind(self) -> int:
        return next(n for n, (below, _) in enumerate(CLASSES) if self.carried / self.of < below)

    @property
    def longest(self) -> tuple[Fraction, Fraction]:
        return max(self.bare, key=lambda stretch: (stretch[1] - stretch[0], -stretch[0]))


def seams_of_record(record: Mapping[str, Any], laid: Laid) -> list[Seam]:
    """Every seam of a record whose blank is ``laid``, from where rows begin."""
    begin, top = float(laid.trim[0] + laid.side_border), laid.trim[1]
    pitch = float(laid.pitch)
    # Where each row lies on the finished board.
    across = {
        row.number: (max(row.y - top, Fraction(0)), min(row.y + row.wide - top, laid.finished[1])) for row in laid.rows
    }
    bare: dict[int, list[tuple[Fraction, Fraction]]] = defaultdict(list)
    for piece in laid.pieces:
        if piece.row and piece.x:
            low, high = across[piece.row]
            stretches = bare[round((piece.x - begin) / pitch)]
            if stretches and stretches[-1][1] == low:
                stretches[-1] = (stretches[-1][0], high)
            else:
                stretches.append((low, high))
    return [
        Seam(
            seam["column"],
            laid.side_border + laid.pitch * seam["column"],
            Fraction(seam["carried"]),
            Fraction(seam["of"]),
            Fraction(seam["longest_gap"]),
            tuple(bare[seam["column"]]),
        )
        for seam in record["seams"]
    ]


def told_in_short(seams: Sequence[Seam], say: Says) -> list[str]:
    """The long grain across every seam by the tiles at its left; neighbours that have as much are told together."""
    told: list[tuple[int, int, Fraction]] = []
    for seam in seams:
        if told and told[-1][1] == seam.column - 1 and told[-1][2] == seam.carried:
            told[-1] = (told[-1][0], seam.column, seam.carried)
        else:
            told.append((seam.column, seam.column, seam.carried))
    return [f"{a if a == b else f'{a}–{b}'}: {say(carried)}" for a, b, carried in told]


def weakest_of(seams: Sequence[Seam], many: int) -> list[Seam]:
    """So many of those with the least long grain, in their order; all where there are no more."""
    if len(seams) <= many:
        return list(seams)
    return sorted(sorted(seams, key=lambda seam: (seam.carried, seam.column))[:many], key=lambda seam: seam.column)
