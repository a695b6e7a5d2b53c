"""Different colours get different woods while woods last, in the way that is nearest on the whole."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import PlannerError
from planner.matching import match_colours, nearest_colours
from planner.matching.nearest import _least_assignment
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.woods import WOODS

RGB = st.tuples(*[st.integers(0, 255)] * 3)
BOARD_WOODS = {name: WOODS[name].finished_rgb for name in ("sycamore", "sapele", "walnut-black", "padauk", "beech")}


def apart(colour, wood) -> float:
    return float(ciede2000(srgb_to_lab(colour), srgb_to_lab(BOARD_WOODS[wood])))


@given(st.lists(st.tuples(RGB, st.integers(1, 500)), min_size=1, max_size=5, unique_by=lambda pair: pair[0]))
@settings(max_examples=60)
def test_no_other_way_of_giving_each_colour_its_own_wood_is_nearer(worn):
    colours, counts = [c for c, _ in worn], [n for _, n in worn]
    match = match_colours(colours, BOARD_WOODS, counts)
    assert len(set(match.wood_of)) == len(colours)
    cost = {(i, w): counts[i] * apart(c, w) for i, c in enumerate(colours) for w in BOARD_WOODS}
    best = min(sum(cost[i, w] for i, w in enumerate(way)) for way in permutations(BOARD_WOODS, len(colours)))
    assert sum(cost[i, w] for i, w in enumerate(match.wood_of)) == pytest.approx(best)


@given(
    st.integers(1, 5).flatmap(
        lambda rows: st.lists(st.lists(st.integers(0, 4), min_size=6, max_size=6), min_size=rows, max_size=rows)
    )
)
@settings(max_examples=80)
def test_the_least_sum_is_found_even_among_many_equal_costs(cost):
    given_to = _least_assignment(np.array(cost, dtype=np.float64))
    assert len(set(given_to)) == len(cost)
    ways = permutations(range(6), len(cost))
    assert sum(row[k] for row, k in zip(cost, given_to, strict=True)) == min(
        sum(row[k] for row, k in zip(cost, way, strict=True)) for way in ways
    )


def test_when_woods_run_out_the_rarer_colours_go_to_the_nearest():
    colours = [(90, 60, 45), (165, 55, 25), (80, 50, 40)]
    woods = {"walnut-black": BOARD_WOODS["walnut-black"], "padauk": BOARD_WOODS["padauk"]}
    assert match_colours(colours, woods, [50, 40, 3]).wood_of == ("walnut-black", "padauk", "walnut-black")


def test_two_hundred_colours_find_their_way_to_three_woods():
    colours = [(i, (3 * i) % 256, (7 * i) % 256) for i in range(200)]
    woods = {name: BOARD_WOODS[name] for name in ("sycamore", "sapele", "walnut-black")}
    assert set(match_colours(colours, woods).wood_of) == set(woods)


def test_a_wood_of_the_very_colour_is_chosen():
    match = match_colours(list(BOARD_WOODS.values()), BOARD_WOODS)
    assert match.wood_of == tuple(BOARD_WOODS)
    assert match.difference == pytest.approx([0] * 5)


def test_without_woods_the_mend_is_said():
    with pytest.raises(PlannerError, match="Add the woods"):
        match_colours([(1, 2, 3)], {})


def test_each_of_a_few_thousand_colours_follows_the_nearest_of_two_hundred():
    draw = np.random.default_rng(20)
    colours, goals = (draw.integers(0, 256, (n, 3)) for n in (3000, 256))
    every = ciede2000(srgb_to_lab(colours)[:, None, :], srgb_to_lab(goals)[None, :, :])
    found = nearest_colours([tuple(c) for c in colours.tolist()], [tuple(c) for c in goals.tolist()])
    taken = every[np.arange(len(colours)), list(found)]
    # Asked about the nearest in CIELAB alone, the formula still gives its own nearest.
    assert taken.tolist() == every.min(axis=1).tolist()


def test_nothing_to_follow_is_said():
    with pytest.raises(PlannerError, match="no colours to follow"):
        nearest_colours([(1, 2, 3)], [])
