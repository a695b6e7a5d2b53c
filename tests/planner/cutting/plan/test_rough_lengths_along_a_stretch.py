"""Rough lengths in a clear stretch are summed by their number; the outside check tries every way to lay them."""

from __future__ import annotations

import random
from functools import cache

import numpy as np

from planner.cutting.plan.along import ByNumber, ByPlace, along_of
from tests.support.each import each


def brute(value, along, grid, kerf, keep=0, rate=0):
    """Every rough length first, then what is left with a kerf behind it; an end worth keeping may be the last piece."""

    @cache
    def best(left):
        found = rate * left if keep and left >= keep else 0
        for step in range(1, len(value)):
            if value[step] > 0 and step * grid <= left:
                found = max(found, value[step] + best(max(left - step * grid - kerf, 0)))
        return found

    return best(along)


@each("table_of", [ByNumber, ByPlace])
@each("seed", range(60))
def test_the_best_of_a_stretch_and_the_lengths_that_reach_it(seed, table_of):
    rng = random.Random(seed)
    grid, kerf = rng.randint(1, 9), rng.randint(0, 11)
    value = [0] + [rng.choice([0, 0, rng.randint(1, 60)]) for _ in range(rng.randint(3, 14))]
    longest = rng.randint(grid, 60)
    array = np.array(value, dtype=np.int64)
    steps = np.flatnonzero(np.diff(np.maximum.accumulate(array), prepend=0) > 0)
    table = table_of(array, steps, longest, grid, kerf)
    for along in range(longest + 1):
        full = table.full(along)
        assert full.value == brute(tuple(value), along, grid, kerf)
        lengths = table.lengths(full)
        assert sum(value[step] for step in lengths) == full.value
        assert sum(lengths) * grid + max(len(lengths) - 1, 0) * kerf <= along
        keep, rate = rng.randint(1, 12), rng.randint(1, 4)
        kept = table.with_end(along, keep, rate)
        whole = brute(tuple(value), along, grid, kerf, keep, rate)
        assert whole == max(full.value, kept.value if kept else 0)
        if kept and kept.value == whole > full.value:
            lengths = table.lengths(kept)
            end = along - sum(lengths) * grid - len(lengths) * kerf
            assert end >= keep and sum(value[step] for step in lengths) + rate * end == whole


def test_the_table_with_less_to_sum_is_taken():
    value = np.array([0] * 60 + list(range(1, 181)), dtype=np.int64)
    # Kerf 3 and step 5 have 1 in common, 3.2 and 5 only 0.2: 2,550 places or 12,750; eight lengths of 510 steps.
    assert isinstance(along_of(value, 2550, 5, 3), ByPlace)
    assert isinstance(along_of(value, 51_000, 100, 64), ByNumber)
