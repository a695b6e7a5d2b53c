"""Minutes as they grow with the copies, and from how many copies one way of building takes no longer than another.

Minutes for n copies are ``once`` + n × ``each`` + a step for every further strip or panel that n copies ask for:
minutes × ⌈n × need ÷ holds⌉. So they are straight but for steps, and the copies at which one method catches up with
another lie between two bounds that are straight; only what lies between them is looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

# A board form asks for no more.
MOST_COPIES = 500


@dataclass(frozen=True, slots=True)
class Step:
    """``minutes`` for each strip or panel, of which n copies ask for ⌈n × ``need`` ÷ ``holds``⌉."""

    minutes: Fraction
    need: Fraction
    holds: Fraction

    def of(self, copies: int) -> Fraction:
        return self.minutes * ceil(copies * self.need / self.holds)


@dataclass(frozen=True, slots=True)
class Effort:
    """What a method takes: minutes once, minutes for each copy, and steps."""

    once: Fraction
    each: Fraction
    steps: tuple[Step, ...] = ()

    def minutes(self, copies: int) -> Fraction:
        return self.once + self.each * copies + sum((step.of(copies) for step in self.steps), Fraction(0))

    @property
    def slope(self) -> Fraction:
        """Minutes a copy in the long run."""
        return self.each + sum((step.minutes * step.need / step.holds for step in self.steps), Fraction(0))

    @property
    def slack(self) -> Fraction:
        """By how much the steps can stand above the straight line at most."""
        return sum(
            (step.minutes * (1 - Fraction(1, (step.need / step.holds).denominator)) for step in self.steps), Fraction(0)
        )


@dataclass(frozen=True, slots=True)
class BreakEven:
    """``first`` is the fewest copies at which a method takes no longer than the other, ``always`` those from which on
    to MOST_COPIES it never takes longer again; None where there are none."""

    first: int | None
    always: int | None


def break_even(one: Effort, other: Effort) -> BreakEven:
    """From how many copies ``one`` takes no longer than ``other``; a tie counts as paying.

    Without steps that is ⌈(one.once − other.once) ÷ (other.each − one.each)⌉, and never where it is not quicker a copy.

    >>> panels, runs = Effort(Fraction(90), Fraction(40)), Effort(Fraction(10), Fraction(60))
    >>> break_even(panels, runs)
    BreakEven(first=4, always=4)
    """
    if one == other:
        return BreakEven(1, 1)
    more, slope = one.once - other.once, one.slope - other.slope
    # more + slope × n − other.slack ≤ one − other at n ≤ more + slope × n + one.slack
    low, high = more - other.slack, more + one.slack

    def pays(copies: int) -> bool:
        return one.minutes(copies) <= other.minutes(copies)

    begin, end = 1, MOST_COPIES
    if slope < 0:
        begin, end = max(1, ceil(low / -slope)), min(max(1, ceil(high / -slope)), MOST_COPIES)
    elif slope > 0:
        # Never quicker a copy: it pays for few copies, if at all.
        end = min(MOST_COPIES, floor(-low / slope))
    first = next((n for n in range(begin, end + 1) if pays(n)), None)
    sure = end if slope < 0 else MOST_COPIES
    return BreakEven(first, _since(pays, sure) if first is not None and pays(sure) else None)


def _since(pays: Callable[[int], bool], copies: int) -> int:
    """The fewest copies from which on to ``copies``, which pay, all pay."""
    while copies > 1 and pays(copies - 1):
        copies -= 1
    return copies
