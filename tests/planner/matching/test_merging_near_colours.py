"""Near colours join before woods are chosen, as far as the maker says and never farther."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import PlannerError
from planner.matching import merge_near, merged
from tests.support.small_pictures import apart

RGB = st.tuples(*[st.integers(0, 255)] * 3)
WORN = st.lists(st.tuples(RGB, st.integers(0, 99)), max_size=25)


@given(WORN, st.floats(0, 40))
@settings(max_examples=50)
def test_nobody_joins_a_colour_farther_than_asked_and_everybody_the_nearest_more_worn(worn, within):
    colours, counts = [c for c, _ in worn], [n for _, n in worn]
    joins = merge_near(colours, counts, within)
    staying = [i for i, to in enumerate(joins) if to == i]
    for i, to in enumerate(joins):
        assert joins[to] == to
        if i != to:
            assert apart(colours[i], colours[to]) <= within
            more_worn = [s for s in staying if (-counts[s], s) < (-counts[i], i)]
            assert apart(colours[i], colours[to]) == min(apart(colours[i], colours[s]) for s in more_worn)


@given(WORN, st.floats(0.1, 40))
@settings(max_examples=50)
def test_no_two_that_stay_are_nearer_than_asked(worn, within):
    colours = [c for c, _ in worn]
    joins = merge_near(colours, [n for _, n in worn], within)
    staying = [i for i, to in enumerate(joins) if to == i]
    assert all(apart(colours[a], colours[b]) > within for a in staying for b in staying if a < b)


def test_a_ramp_of_small_steps_does_not_run_together_from_end_to_end():
    ramp = [(g, g, g) for g in range(0, 256, 4)]
    joins = merge_near(ramp, [1] * len(ramp), within=5)
    assert all(apart(ramp[i], ramp[to]) <= 5 for i, to in enumerate(joins))
    assert 8 < len(merged(joins)) < len(ramp) / 2


def test_the_most_worn_shade_is_the_one_that_stays():
    assert merge_near([(100, 100, 100), (104, 104, 104), (101, 101, 101)], [3, 50, 4], within=4) == (1, 1, 1)


def test_alike_colours_join_at_nothing_and_different_ones_do_not():
    assert merge_near([(9, 9, 9), (9, 9, 9), (10, 9, 9)], [1, 1, 1], within=0) == (0, 0, 2)


def test_groups_begin_with_the_colour_that_stays():
    assert merged((2, 1, 2, 1)) == ((1, 3), (2, 0))


def test_what_cannot_be_asked_is_said():
    with pytest.raises(PlannerError, match="Write 0 or more"):
        merge_near([(1, 2, 3)], [1], -1)
    with pytest.raises(PlannerError, match="Write 0 or more"):
        merge_near([(1, 2, 3)], [1], float("nan"))
    with pytest.raises(PlannerError, match="1 colours and 2 counts"):
        merge_near([(1, 2, 3)], [1, 2], 1)
    assert merge_near([], [], 3) == ()
