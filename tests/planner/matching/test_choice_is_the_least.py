"""The woods chosen are the best of all ways where all can be looked at, and the search finds as good without."""

from __future__ import annotations

from copy import copy
from itertools import combinations, product

import numpy as np
import pytest

from planner.matching import choose_woods, fewest_woods, search
from planner.matching.task import Task
from tests.support.small_pictures import BOARD_WOODS, FACES, MAPLE, by_colour, plain_cost, random_picture

WOODS_OF = {name: BOARD_WOODS[name] for name in ("sycamore", "sapele", "walnut-black")}


def least_of_all(cells, colours, woods, price, background) -> float:
    every = product(woods, repeat=len(colours))
    return min(plain_cost(cells, colours, woods, way, price, background) for way in every)


@pytest.mark.parametrize("price", [0.0, 0.12, 0.25, 0.6])
@pytest.mark.parametrize(("seed", "colours"), [(1, 2), (2, 3), (3, 4)])
def test_no_way_of_giving_woods_costs_less_reckoned_one_side_after_the_other(seed, colours, price):
    cells, shades = random_picture(seed, colours, side=3)
    found = choose_woods(cells, shades, WOODS_OF, shape_price=price, background_rgb=MAPLE)
    cost = plain_cost(cells, shades, WOODS_OF, found.wood_of, price, MAPLE)
    assert cost == pytest.approx(least_of_all(cells, shades, WOODS_OF, price, MAPLE))


@pytest.fixture
def searching(monkeypatch):
    """The search has to find its way even where every way could be looked at."""
    monkeypatch.setattr(search, "FEW_WAYS", 0)


@pytest.mark.parametrize("colours", [2, 3, 4, 5, 6])
def test_the_search_finds_the_best_of_fifteen_thousand_ways(colours, monkeypatch):
    missed = 0
    for seed in range(60):
        cells, shades = random_picture(100 * colours + seed, colours)
        task = Task(cells, shades, BOARD_WOODS, {}, (), MAPLE if seed % 2 else None)
        for price in (0.06, 0.25, 0.6):
            # Each from the beginning: what was solved once is a start for the next.
            best = copy(task).solve(price)
            with monkeypatch.context() as patch:
                patch.setattr(search, "FEW_WAYS", 0)
                found = copy(task).solve(price)
            missed += found.wood_of != best.wood_of
    assert missed == 0


@pytest.mark.parametrize("path", FACES, ids=lambda p: p.stem)
def test_no_change_of_two_colours_betters_the_woods_of_a_face(path, searching):
    cells, colours = by_colour(path)
    woods = {name: BOARD_WOODS[name] for name in ("sycamore", "beech", "walnut-black")}
    found = choose_woods(cells, colours, woods, background_rgb=MAPLE).wood_of
    cost = plain_cost(cells, colours, woods, found, 0.25, MAPLE)
    pairs = list(combinations(range(len(colours)), 2))[::5]
    for i, j in pairs:
        for one, other in product(woods, repeat=2):
            tried = list(found)
            tried[i], tried[j] = one, other
            assert plain_cost(cells, colours, woods, tried, 0.25, MAPLE) >= cost - 1e-9


def test_the_best_few_woods_are_the_best_of_all_sets():
    for seed in range(4):
        cells, colours = random_picture(seed, 3, side=3)
        for few in fewest_woods(cells, colours, BOARD_WOODS, background_rgb=MAPLE):
            cost = plain_cost(cells, colours, BOARD_WOODS, few.choice.wood_of, 0.25, MAPLE)
            least = min(
                least_of_all(cells, colours, {w: BOARD_WOODS[w] for w in some}, 0.25, MAPLE)
                for some in combinations(BOARD_WOODS, few.count)
            )
            assert cost == pytest.approx(least)


def test_equal_pictures_get_equal_woods_and_an_enlarged_one_keeps_them():
    cells, colours = by_colour(FACES[0])
    once = choose_woods(cells, colours, BOARD_WOODS)
    assert choose_woods(cells.copy(), list(colours), dict(BOARD_WOODS)) == once
    twice = np.kron(cells, np.ones((2, 2), dtype=np.int64))
    assert choose_woods(twice, colours, BOARD_WOODS).wood_of == once.wood_of
