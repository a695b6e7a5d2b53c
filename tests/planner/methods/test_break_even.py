"""From how many copies one method takes no longer than another: the closed form is what trying every number finds."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import numpy as np
import pytest

from planner.methods.effort import MOST_COPIES, BreakEven, Effort, Step, break_even


def tried(one, other):
    pays = [
        n
        for n in range(1, MOST_COPIES + 1)
        if one.once + n * one.each + sum(s.minutes * ceil(n * s.need / s.holds) for s in one.steps)
        <= other.once + n * other.each + sum(s.minutes * ceil(n * s.need / s.holds) for s in other.steps)
    ]
    last_loss = max((n for n in range(1, MOST_COPIES + 1) if n not in set(pays)), default=0)
    return BreakEven(pays[0] if pays else None, last_loss + 1 if last_loss < MOST_COPIES else None)


def effort(rng, steps):
    found = []
    for _ in range(int(rng.integers(0, steps + 1))):
        minutes, need, holds = (int(n) for n in rng.integers(1, 30, size=3))
        found.append(Step(Fraction(minutes), Fraction(need, 2), Fraction(holds)))
    once, each = (Fraction(int(n), 2) for n in rng.integers(0, (600, 120)))
    return Effort(once, each, tuple(found))


@pytest.mark.parametrize("steps", [0, 1, 4])
def test_it_is_what_trying_every_number_of_copies_finds(steps):
    rng = np.random.default_rng(steps)
    for _ in range(25):
        one, other = effort(rng, steps), effort(rng, steps)
        assert break_even(one, other) == tried(one, other)


def test_without_steps_it_is_the_extra_once_over_what_a_copy_saves():
    """A panel that costs 90 minutes once and saves 20 a copy pays from the fifth; a tie pays."""
    runs = Effort(Fraction(10), Fraction(60))
    assert break_even(Effort(Fraction(100), Fraction(40)), runs) == BreakEven(5, 5)
    assert break_even(Effort(Fraction(90), Fraction(40)), runs) == BreakEven(4, 4)
    assert break_even(Effort(Fraction(91), Fraction(40)), runs) == BreakEven(5, 5)


def test_what_is_dearer_once_and_a_copy_never_pays():
    assert break_even(Effort(Fraction(20), Fraction(60)), Effort(Fraction(10), Fraction(60))) == BreakEven(None, None)


def test_two_that_are_equal_pay_from_the_first():
    same = Effort(Fraction(10), Fraction(60), (Step(Fraction(3), Fraction(7), Fraction(5)),))
    assert break_even(same, same) == BreakEven(1, 1)


def test_a_further_panel_can_undo_what_the_last_copy_won():
    """A panel holds three copies: it pays at the third, not at the fourth, and for good from the eleventh."""
    panels = Effort(Fraction(0), Fraction(0), (Step(Fraction(30), Fraction(1), Fraction(3)),))
    runs = Effort(Fraction(0), Fraction("11.6"))
    assert break_even(panels, runs) == tried(panels, runs) == BreakEven(3, 11)


def test_what_pays_for_few_copies_only_is_told_so():
    quick_start = Effort(Fraction(0), Fraction(70))
    assert break_even(quick_start, Effort(Fraction(25), Fraction(60))) == BreakEven(1, None)
