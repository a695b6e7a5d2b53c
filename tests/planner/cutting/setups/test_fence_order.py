"""The order of settings moves the fence least, held against every order there is."""

import random
from itertools import pairwise, permutations

import pytest

from planner.cutting.setups.order import MOST_EXACT, least_travel, travel_of


def always(done, step):
    return 100


def needs(before):
    """What is fed: 100, but nothing before the steps it has to follow."""
    return lambda done, step: 100 if before.get(step, set()) <= done else None


def moved(distances, order):
    return sum(abs(distances[a] - distances[b]) for a, b in pairwise(order))


def brute(distances, feeds):
    """(travel, least fed) of the best of all orders, None where none is allowed."""
    best = None
    for order in permutations(range(len(distances))):
        fed = [feeds(frozenset(order[:n]), step) for n, step in enumerate(order)]
        if None not in fed:
            value = moved(distances, order), -min(fed)
            best = value if best is None else min(best, value)
    return best


@pytest.mark.parametrize("seed", range(40))
def test_no_order_of_up_to_seven_settings_moves_less_or_feeds_more(seed):
    rng = random.Random(seed)
    n = rng.randint(1, 7)
    distances = rng.sample(range(10, 200), n)
    widths = {(frozenset(), step): rng.randint(20, 90) for step in range(n)}
    before = {b: {a} for a, b in (rng.sample(range(n), 2) for _ in range(rng.randint(0, 3)))} if n > 1 else {}

    def feeds(done, step):
        return widths[frozenset(), step] - 3 * len(done) if before.get(step, set()) <= done else None

    order = least_travel(distances, feeds)
    best = brute(distances, feeds)
    if best is None:
        assert order is None
        return
    assert sorted(order) == list(range(n))
    fed = min(feeds(frozenset(order[:i]), step) for i, step in enumerate(order))
    assert (moved(distances, order), -fed) == best


def test_without_anything_in_the_way_the_widest_comes_first():
    assert least_travel([20, 60, 43], always) == (1, 2, 0)


def test_where_the_fence_may_go_either_way_more_is_held():
    # Two widths off one piece of 100 with a kerf of 3: narrow first feeds 100 and 77, wide first 100 and 37.
    widths = [60, 20]

    def feeds(done, step):
        return 100 - sum(widths[d] + 3 for d in done)

    assert least_travel(widths, feeds) == (1, 0)


def test_no_setting_is_no_way_to_go():
    assert least_travel([], always) == ()


def test_what_has_to_wait_waits_though_the_fence_goes_back():
    assert least_travel([60, 40, 20], needs({0: {2}, 1: {0}})) == (2, 0, 1)
    assert travel_of([60, 40, 20], (2, 0, 1)) == 60


def test_settings_that_wait_for_each_other_have_no_order():
    assert least_travel([60, 40], needs({0: {1}, 1: {0}})) is None
    many = list(range(100, 100 + MOST_EXACT + 3))
    assert least_travel(many, needs({0: {1}, 1: {0}})) is None


def test_many_settings_go_along_the_scale_once_where_nothing_waits():
    many = list(range(100, 100 + 10 * (MOST_EXACT + 5), 10))
    order = least_travel(many, always)
    assert travel_of(many, order) == max(many) - min(many)
    # One that waits for the last costs a way back, no more.
    first, last = order[0], order[-1]
    again = least_travel(many, needs({first: {last}}))
    assert again is not None
    assert travel_of(many, again) <= 2 * (max(many) - min(many))
