"""How a board comes together: parts no wider than can be flattened, rows joined by levels, borders last.

A layout is worked out before any task is drawn up, so that jigs and clamps are known to be long enough and are pooled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planner.gluing.glueboard import GlueBoard, GlueRow
from planner.gluing.loading import evenly
from planner.gluing.terms import TimetableError
from planner.measures import Length, format_length


@dataclass(frozen=True, slots=True)
class Block:
    """Rows that are one piece of wood after a glue-up of the blocks they were before; a row is a block of its own."""

    rows: tuple[GlueRow, ...]
    of: tuple[Block, ...] = ()

    @property
    def numbers(self) -> tuple[int, ...]:
        return tuple(row.number for row in self.rows)

    @property
    def height(self) -> Length:
        return Length(sum((row.width.mm for row in self.rows), Fraction(0)))


@dataclass(frozen=True, slots=True)
class PartOfBoard:
    """What is flattened in one go. ``levels`` are its glue-ups, rows first, every one of two blocks or more;
    ``borders`` go on afterwards, so many a glue-up."""

    rows: tuple[GlueRow, ...]
    groups: tuple[tuple[GlueRow, ...], ...]
    levels: tuple[tuple[Block, ...], ...]
    borders: tuple[int, ...]
    border_width: Length

    @property
    def height(self) -> Length:
        return Block(self.rows).height + self.border_width * sum(self.borders)

    @property
    def reaches(self) -> Iterator[Length]:
        for level in self.levels:
            for block in level:
                yield block.height
        height = Block(self.rows).height
        for many in self.borders:
            height = height + self.border_width * many
            yield height


def layout_of(
    board: GlueBoard, widest: Length, rows_at_once: int, borders_at_once: int, unit: str
) -> tuple[PartOfBoard, ...]:
    """The parts of a board, from the top: one, or as many as it takes so that none is wider than ``widest``.

    Raises TimetableError where a row with its border is wider than that by itself."""
    for many in range(1, len(board.rows) + 1):
        parts = _in(many, board, rows_at_once, borders_at_once)
        if all(part.height <= widest for part in parts):
            return parts
    raise TimetableError(
        f"The shop flattens blanks up to {format_length(widest, unit)} wide, and one row with its border is wider.",
        mend="Write the widest blank you can flatten, or make rows and borders narrower.",
        field="widest_flattened",
    )


def _in(many: int, board: GlueBoard, rows_at_once: int, borders_at_once: int) -> tuple[PartOfBoard, ...]:
    """``many`` parts, the rows dealt out so that their heights are as even as can be."""
    rows, heights = board.rows, []
    at = board.border_width.mm if board.borders else Fraction(0)
    for row in rows:
        at += row.width.mm
        heights.append(at)
    total = at + (board.border_width.mm if board.borders > 1 else 0)
    cuts = [0]
    for n in range(1, many):
        # Every part keeps a row at least.
        choices = range(cuts[-1] + 1, len(rows) - (many - n) + 1)
        cuts.append(min(choices, key=lambda k: abs(heights[k - 1] - total * n / many)))
    cuts.append(len(rows))
    parts = []
    for n in range(many):
        strips = ((n == 0) + (n == many - 1)) if board.borders else 0
        borders = tuple(len(group) for group in evenly(strips, borders_at_once)) if strips else ()
        mine = rows[cuts[n] : cuts[n + 1]]
        levels = _levels(mine, rows_at_once)
        groups = tuple(tuple(mine[i] for i in group) for group in evenly(len(mine), rows_at_once))
        parts.append(PartOfBoard(mine, groups, levels, borders, board.border_width))
    return tuple(parts)


def _levels(rows: tuple[GlueRow, ...], most: int) -> tuple[tuple[Block, ...], ...]:
    blocks: list[Block] = [Block((row,)) for row in rows]
    levels = []
    while len(blocks) > 1:
        joined, made = [], []
        for group in evenly(len(blocks), most):
            several = tuple(blocks[i] for i in group)
            if len(several) == 1:
                joined.append(several[0])
            else:
                made.append(Block(tuple(row for block in several for row in block.rows), several))
                joined.append(made[-1])
        levels.append(tuple(made))
        blocks = joined
    return tuple(levels)
