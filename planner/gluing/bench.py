"""What the stages of the making have in common: the shop, the sheets, the maker's minutes, and how a step is put in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from planner.gluing.concerns import concerns_of
from planner.gluing.glueboard import GlueBoard, GlueRow
from planner.gluing.loading import LOT_MINUTES
from planner.gluing.materials import Adhesive, Around, Finish, GlueShop
from planner.gluing.shares import Minutes, minutes_of, scaled, summed
from planner.gluing.steps import Draft, Step
from planner.gluing.terms import TimetableError
from planner.gluing.tools import Tools

# The stage of the making each kind of step belongs to, in the order of the work.
STAGE_OF: Mapping[str, str] = {
    "wood": "wood in",
    "settle": "settled",
    "ready": "rough milled",
    "rough": "rough milled",
    "rip": "final milled and ripped",
    "gauge": "gauged",
    "cut": "crosscut",
    "sort": "sorted and dry-laid",
    "panel": "panels glued",
    "even": "panels flattened",
    "slice": "sliced",
    "row": "rows glued",
    "dress": "rows dressed",
    "join": "joined",
    "true": "field edges trued",
    "border": "top and bottom borders",
    "flatten": "flattened",
    "halves": "parts joined",
    "size": "cut to size",
    "details": "details",
    "sand": "sanded",
    "raise": "sanded",
    "coat": "finished",
    "wipe": "finished",
    "photo": "photographed",
    "pack": "packed",
    "carrier": "handed over",
}


@dataclass(frozen=True, slots=True)
class Bench:
    """``rows_at_once`` is what one glue-up takes within the adhesive's time; a board's work is given ``pace`` times the
    maker's minutes."""

    shop: GlueShop
    adhesive: Adhesive
    finish: Finish
    around: Around
    times: Mapping[str, Fraction]
    tools: Tools
    draft: Draft
    rows_at_once: int
    pace: Fraction = Fraction(1)

    @property
    def lot(self) -> Fraction:
        """The most minutes of one lot."""
        return Fraction(max(min(LOT_MINUTES // self.draft.slot, self.draft.longest), 1) * self.draft.slot)

    def minutes(self, kind: str, counts: Mapping[str, Fraction | int]) -> Minutes:
        return scaled(minutes_of(self.times, kind, counts), self.pace)

    def clamps_along(self, length: Fraction) -> int:
        """How many clamps a joint of so many mm takes: each presses its stretch, at least two."""
        every = self.shop.clamp_every.mm
        if every <= 0:
            raise TimetableError(
                "Clamps stand no distance apart.", mend="Write how far apart they may stand.", field="clamp_every"
            )
        return max(2, ceil(length / every))


@dataclass(frozen=True, slots=True)
class OneBoard:
    """A board, or one of its copies, on the bench. ``place`` is the board's among those made together, from 1; ``copy``
    is 0 for what is done for all copies at once; ``number`` is the copy's in the timetable."""

    bench: Bench
    board: GlueBoard
    place: int
    copy: int
    number: int

    @property
    def prefix(self) -> str:
        return f"{self.place}.{self.copy}" if self.copy and self.board.copies > 1 else str(self.place)

    def add(
        self,
        kind: str,
        name: str,
        words: str,
        minutes: Minutes = (),
        *,
        hold: int = 0,
        uses: Iterable[tuple[str, int]] = (),
        rows: tuple[int, ...] = (),
        first: tuple[str, ...] = (),
        writes: tuple[str, ...] = (),
        ends: str = "",
        after: Sequence[str] = (),
        wait: int = 0,
    ) -> str:
        """Put a step in after those in ``after`` and ``wait`` more minutes; gives its key."""
        if self.copy and self.board.copies > 1:
            words = f"{words}, copy {self.copy}"
        step = Step(
            f"{self.prefix}/{kind}{'/' if name else ''}{name}",
            kind,
            STAGE_OF[kind],
            self.place,
            self.copy,
            words,
            rows,
            minutes,
            first,
            writes,
            concerns_of(kind, self.board, self.bench.adhesive, self.bench.finish),
            ends,
        )
        key = self.bench.draft.add(step, self.number, hold, uses)
        for before in after:
            self.bench.draft.after(before, key, wait)
        return key

    def in_lots(
        self,
        kind: str,
        name: str,
        words: str,
        minutes: Minutes,
        *,
        after: Sequence[str],
        wait: int = 0,
        rows: tuple[int, ...] = (),
        first: tuple[str, ...] = (),
        writes: tuple[str, ...] = (),
    ) -> list[str]:
        """Work of one kind in even lots, one after another; gives their keys, none where it takes no minutes."""
        many = ceil(summed(minutes) / self.bench.lot)
        lots: list[str] = []
        for n in range(many):
            said = f"{words}, lot {n + 1} of {many}" if many > 1 else words
            number = f"{name}/{n + 1}".removeprefix("/")
            share = scaled(minutes, Fraction(1, many))
            lots.append(self.add(kind, number, said, share, rows=rows, first=first, writes=writes))
        if lots:
            for before in after:
                self.bench.draft.after(before, lots[0], wait)
        for one, other in pairwise(lots):
            self.bench.draft.after(one, other)
        return lots


def row_said(row: GlueRow) -> str:
    """A row by its number; a deep one with the picture's rows it is made of."""
    return f"row {row.number}" + (f" ({listed(range(row.first, row.last + 1))} in one)" if row.is_deep else "")


def listed(numbers: Sequence[int]) -> str:
    """Row numbers as they are said: "row 4", "rows 1 to 8", "rows 1, 3 and 4"."""
    if len(numbers) == 1:
        return f"row {numbers[0]}"
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"rows {numbers[0]} to {numbers[-1]}"
    return f"rows {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
