"""How plans are cut apart: boxes of plans by what they count, the bound each has, and what of them proves the floor.

A box holds the plans that open so many boards of each kind and count so many of this and that: ripped rough lengths,
strips, kept edges, kept tails. A box that is parted stays in the tree, so that the proof names no more boxes than it
needs: one whose own bound is not below the floor speaks for everything it was parted into.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import ceil, floor
from typing import NamedTuple

from planner.cutting.plan.problem import Problem
from planner.cutting.plan.terms import SCALE, Counted, Leaf, Prices

WHOLE = 1e-6


class Count(NamedTuple):
    """What is counted: ``what`` is "rough", "edges", "strips", "tails", "milled" or "resawn", of the ``section`` for
    the last four (else -1), on rough lengths that are at least ``step`` grid steps long. For the last two only the
    section's thickness counts; the first section of that thickness stands for it.
    """

    what: str
    section: int
    step: int


# Least and most of a count; -1 for any number.
Span = tuple[int, int]
ANY: Span = (0, -1)


@dataclass(frozen=True, slots=True)
class Reason:
    """Prices that bound a box: of the parts, of boards beyond their cost (``gains`` by kind) and of the counts, all in
    1/SCALE of a money unit; ``total`` is what all the parts wanted are worth."""

    prices: tuple[int, ...]
    paid: dict[Count, int]
    gains: tuple[int, ...]
    total: int


@dataclass(slots=True, eq=False)
class Box:
    """Plans with ``low`` to ``high`` boards of each kind and within every span of ``spans``. ``bound``, in 1/SCALE of
    a money unit, is what ``reason`` gives. ``used`` boards and ``counted`` are how many the last relaxation had, with
    fractions."""

    low: tuple[int, ...]
    high: tuple[int, ...]
    spans: dict[Count, Span]
    reason: Reason
    bound: int = 0
    used: list[float] = field(default_factory=list)
    counted: dict[Count, float] = field(default_factory=dict)
    parted: tuple[Box, ...] = ()

    def __post_init__(self) -> None:
        self.bound = self.bound_by(self.reason)

    def bound_by(self, reason: Reason) -> int:
        bound = reason.total
        for low, high, gain in zip(self.low, self.high, reason.gains, strict=True):
            bound -= high * gain if gain > 0 else low * gain
        for count, price in reason.paid.items():
            low, high = self.spans.get(count, ANY)
            bound -= high * price if price > 0 else low * price
        return bound

    def learn(self, reason: Reason) -> None:
        """Take these prices where they bound the box better."""
        bound = self.bound_by(reason)
        if bound > self.bound:
            self.bound, self.reason = bound, reason

    def by_count(self, count: Count) -> tuple[Box, ...]:
        """Two boxes that share the plans of this one by the ``count``, which is in doubt."""
        low, high = self.spans.get(count, ANY)
        most = floor(self.counted[count])
        less, more = {**self.spans, count: (low, most)}, {**self.spans, count: (most + 1, high)}
        return self._with(spans=less), self._with(spans=more)

    def by_boards(self) -> tuple[Box, ...]:
        """The same by the kind whose boards are most in doubt; none where all are whole."""
        doubt = [abs(used - round(used)) for used in self.used]
        if max(doubt, default=0) < WHOLE:
            return ()
        i = doubt.index(max(doubt))
        low, high = list(self.low), list(self.high)
        low[i], high[i] = ceil(self.used[i]), floor(self.used[i])
        return self._with(high=tuple(high)), self._with(low=tuple(low))

    def no_more_boards(self) -> Box:
        """The plans of the box that open no more boards of a kind than the last relaxation did, rounded up."""
        high = tuple(min(high, ceil(used - WHOLE)) for high, used in zip(self.high, self.used, strict=False))
        return self._with(high=high or self.high)

    def _with(self, **changes: object) -> Box:
        return replace(self, **changes, bound=0, used=[], counted={}, parted=())  # type: ignore[arg-type]

    def proving(self, floor: int) -> Iterator[Box]:
        """The fewest boxes of this one and what it was parted into whose bounds are all at least ``floor``."""
        if self.bound >= floor or not self.parted:
            yield self
        else:
            for box in self.parted:
                yield from box.proving(floor)


def prices_of(root: Box, floor: int, problem: Problem) -> Prices:
    """The proof that no plan costs less than ``floor`` money units."""
    boxes = list(root.proving((floor - 1) * SCALE + 1))
    counts = sorted({count for box in boxes for count in box.spans})

    def named(count: Count) -> Counted:
        of = problem.sections[count.section] if count.section >= 0 else None
        width, thickness = (of.width, of.thickness) if of else (0, 0)
        width = 0 if count.what in ("milled", "resawn") else width
        return Counted(count.what, width, thickness, count.step * problem.rules.grid)

    leaves = tuple(
        Leaf(
            box.low,
            box.high,
            box.reason.prices,
            tuple(box.spans.get(count, ANY)[0] for count in counts),
            tuple(box.spans.get(count, ANY)[1] for count in counts),
            tuple(box.reason.paid.get(count, 0) for count in counts),
        )
        for box in boxes
    )
    kinds = tuple(kind.names for kind in problem.kinds)
    shades = problem.shades if any(problem.shades) else ()
    return Prices(problem.wood, problem.sizes, kinds, tuple(named(count) for count in counts), leaves, shades)
