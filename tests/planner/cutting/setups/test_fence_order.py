"""The order of settings moves the fence least, held against every order there is."""

import random
from itertools import pairwise, permutations

from planner.cutting.setups.order import MOST_EXACT, least_travel
from tests.support.each import each


def always(done, step):
    return 100


def moved(distances, order):
    return sum(abs(distances[a] - distances[b]) for a, b in pairwise(order))


def value(distances, feeds, order):
    """(travel, least fed turned round) of an order."""
    fed = min(feeds(frozenset(order[:n]), step) for n, step in enumerate(order))
    return moved(distances, order), -fed


@each("seed", range(40))
def test_no_order_of_up_to_seven_settings_moves_less_or_feeds_more(seed):
    rng = random.Random(seed)
    n = rng.randint(1, 7)
    distances = rng.sample(range(10, 200), n)
    widths = [rng.randint(20, 90) for _ in range(n)]

    def feeds(done, step):
        return widths[step] - sum(widths[d] % 7 for d in done)

    order = least_travel(distances, feeds)
    assert sorted(order) == list(range(n))
    best = min(value(distances, feeds, order) for order in permutations(range(n)))
    assert value(distances, feeds, order) == best


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


def test_many_settings_go_along_the_scale_once_the_way_that_feeds_more():
    many = list(range(100, 100 + 10 * (MOST_EXACT + 5), 10))
    random.Random(1).shuffle(many)

    def feeds(done, step):
        return 10_000 - sum(many[d] for d in done) - many[step] ** 2 // 100

    order = least_travel(many, feeds)
    assert moved(many, order) == max(many) - min(many)
    ways = [sorted(order, key=lambda i: way * many[i]) for way in (1, -1)]
    assert value(many, feeds, order) == min(value(many, feeds, way) for way in ways)
    assert list(least_travel(many, always)) == ways[1]
