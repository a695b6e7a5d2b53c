"""What the stages of the making have in common: the shop, the sheets, the maker's minutes, and how a step is put in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from planner.gluing.glueboard import GlueBoard
from planner.gluing.loading import LOT_MINUTES
from planner.gluing.materials import Adhesive, Around, Finish, GlueShop
from planner.gluing.steps import Draft, Step
from planner.gluing.terms import TimetableError
from planner.gluing.tools import Tools

# What part of an operation's minutes each stage takes. The operations are what is logged and learned; how their minutes
# fall on the stages is an assumption (common practice, no source), and only when things are done depends on it.
SHARES: Mapping[str, tuple[tuple[str, Fraction], ...]] = {
    "ready": (("setup_job", Fraction(1)),),
    "rough": (("rip_strip", Fraction(3, 10)),),
    "rip": (("rip_strip", Fraction(5, 10)),),
    "gauge": (("rip_strip", Fraction(2, 10)),),
    "cut": (("crosscut", Fraction(1)), ("stop_change", Fraction(1))),
    "sort": (("row_glue", Fraction(1, 4)),),
    "row": (("row_glue", Fraction(3, 4)), ("joint", Fraction(1))),
    "dress": (("row_join", Fraction(1, 3)),),
    "join": (("row_join", Fraction(2, 3)),),
    "true": (("strip", Fraction(1, 4)),),
    "border": (("strip", Fraction(3, 4)),),
    "flatten": (("sand_dm2", Fraction(3, 10)),),
    "size": (("sand_dm2", Fraction(1, 10)),),
    "sand": (("sand_dm2", Fraction(6, 10)),),
    "coat": (("oil_dm2", Fraction(2, 3)),),
    "wipe": (("oil_dm2", Fraction(1, 3)),),
}
SHARE = {(kind, operation): share for kind, shares in SHARES.items() for operation, share in shares}
Minutes = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """``lot`` is the most minutes of one lot."""

    shop: GlueShop
    adhesive: Adhesive
    finish: Finish
    around: Around
    times: Mapping[str, Fraction]
    tools: Tools
    draft: Draft

    @property
    def lot(self) -> Fraction:
        return Fraction(max(min(LOT_MINUTES // self.draft.slot, self.draft.longest), 1) * self.draft.slot)

    def time(self, operation: str) -> Fraction:
        if operation not in self.times:
            raise TimetableError(
                f"There are no minutes for “{operation}”.", mend="Give every operation its minutes.", field=operation
            )
        return Fraction(self.times[operation])

    def minutes(self, kind: str, counts: Mapping[str, Fraction | int]) -> Minutes:
        """The minutes of a stage that stands for so many of an operation's counts."""
        found = ((op, self.time(op) * SHARE[kind, op] * Fraction(count)) for op, count in counts.items())
        return tuple((op, minutes) for op, minutes in found if minutes)

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
    """A board, or one of its copies, on the bench. ``copy`` is 0 for what is done for all copies at once."""

    bench: Bench
    board: GlueBoard
    place: int
    copy: int
    number: int
    stage: str = ""

    @property
    def prefix(self) -> str:
        return f"{self.place}.{self.copy}" if self.copy and self.board.copies > 1 else str(self.place)

    def add(
        self,
        kind: str,
        name: str,
        stage: str,
        words: str,
        minutes: Minutes = (),
        *,
        hold: int = 0,
        uses: Iterable[tuple[str, int]] = (),
        rows: tuple[int, ...] = (),
        first: tuple[str, ...] = (),
        writes: tuple[str, ...] = (),
        cautions: tuple[str, ...] = (),
        ends: str = "",
        after: Sequence[str] = (),
        wait: int = 0,
    ) -> str:
        """Put a step in after those in ``after`` and ``wait`` more minutes; gives its key."""
        step = Step(
            f"{self.prefix}/{kind}{'/' if name else ''}{name}",
            kind,
            stage,
            self.place,
            self.copy,
            words,
            rows,
            minutes,
            first,
            writes,
            cautions,
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
        stage: str,
        words: str,
        minutes: Minutes,
        *,
        after: Sequence[str],
        wait: int = 0,
        cautions: tuple[str, ...] = (),
        first: tuple[str, ...] = (),
        writes: tuple[str, ...] = (),
    ) -> list[str]:
        """Work of one kind in even lots, one after another; gives their keys, none where it takes no minutes."""
        total = sum((one for _, one in minutes), Fraction(0))
        many = ceil(total / self.bench.lot)
        lots: list[str] = []
        for n in range(many):
            share = tuple((op, one / many) for op, one in minutes)
            lot = f"{words}, lot {n + 1} of {many}" if many > 1 else words
            number = f"{name}/{n + 1}".removeprefix("/")
            lots.append(self.add(kind, number, stage, lot, share, first=first, writes=writes, cautions=cautions))
        if lots:
            for before in after:
                self.bench.draft.after(before, lots[0], wait)
        for one, other in pairwise(lots):
            self.bench.draft.after(one, other)
        return lots


def listed(numbers: Sequence[int]) -> str:
    """Row numbers as they are said: "row 4", "rows 1 to 8", "rows 1, 3 and 4"."""
    if len(numbers) == 1:
        return f"row {numbers[0]}"
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"rows {numbers[0]} to {numbers[-1]}"
    return f"rows {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
