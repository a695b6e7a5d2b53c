"""A floor holds for every plan there is: small jobs against plain enumeration, and proofs that were tampered with."""

from dataclasses import replace
from itertools import product

import pytest

from planner.cutting.plan import (
    Counted,
    CutJob,
    FloorError,
    Leaf,
    Part,
    Prices,
    Rules,
    StockBoard,
    first_cut_plan,
    plan_cuts,
    prove,
)

STRIPS = Counted("strips", 20, 10, 0)
RULES = Rules(crosscut_kerf=2, rip_kerf=2, grip=5, grid=10, keep_length=30, keep_width=10, worth_area=100)


def job_of(counts, boards):
    parts = tuple(Part("ash", 20, 10, length, count) for length, count in counts.items())
    stock = tuple(
        StockBoard(f"{i}", "ash", width, length, 10, cost, worth)
        for i, (width, length, cost, worth) in enumerate(boards)
    )
    return CutJob(parts, stock, RULES)


def cheapest(job):
    """The cost of the cheapest plan, by trying every one: boards, their rough lengths, strips, and parts of each.

    Written for one section and few parts; nothing of the planner is used.
    """
    rules = job.rules
    lengths = [part.length for part in job.parts]
    need = tuple(part.count for part in job.parts)

    def strip_ways(length):
        for counts in product(*(range(n + 1) for n in need)):
            used = sum(n * (size + rules.crosscut_kerf) for n, size in zip(counts, lengths, strict=True))
            if used <= length - rules.grip:
                yield counts, length - used

    def worth(board, width, length):
        return width * length * board.worth // rules.worth_area if length >= rules.keep_length else 0

    def better(table, made, credit):
        if table.get(made, -1) < credit:
            table[made] = credit

    def add(one, other):
        return tuple(min(a + b, n) for a, b, n in zip(one, other, need, strict=True))

    def rough_ways(board, length):
        strips = {}
        for counts, tail in strip_ways(length):
            better(strips, counts, worth(board, 20, tail))
        ways, layer = {}, {(0,) * len(need): 0}
        for n in range(1, (board.width + 2) // 22 + 1):
            fresh = {}
            for (a, x), (b, y) in product(layer.items(), strips.items()):
                if all(p + q <= r for p, q, r in zip(a, b, need, strict=True)):
                    better(fresh, add(a, b), x + y)
            layer = fresh
            beside = board.width - n * 22
            for made, credit in layer.items():
                better(ways, made, credit + (worth(board, beside, length) if beside >= rules.keep_width else 0))
        return ways

    def board_ways(board):
        rough = {length: rough_ways(board, length) for length in range(10, board.length + 1, 10)}
        ways = {}

        def cut(left, made, credit):
            better(ways, made, credit + (worth(board, board.width, left) if left > 0 else 0))
            for length, gives in rough.items():
                if length <= left:
                    for more, money in gives.items():
                        if any(more) and all(p + q <= r for p, q, r in zip(made, more, need, strict=True)):
                            cut(left - length - rules.crosscut_kerf, add(made, more), credit + money)

        cut(board.length, (0,) * len(need), 0)
        return ways

    best = {(0,) * len(need): 0}
    for board in job.stock:
        fresh = dict(best)
        for (a, cost), (b, credit) in product(best.items(), board_ways(board).items()):
            if all(p + q <= r for p, q, r in zip(a, b, need, strict=True)):
                made, total = add(a, b), cost + board.cost - credit
                if fresh.get(made, total + 1) > total:
                    fresh[made] = total
        best = fresh
    return best.get(need)


@pytest.mark.parametrize(
    ("counts", "boards"),
    [
        ({20: 3}, [(44, 60, 100, 0)]),
        ({20: 2, 30: 2}, [(44, 80, 300, 5), (22, 90, 170, 5)]),
        ({25: 3, 40: 1}, [(42, 100, 400, 4), (20, 110, 210, 4)]),
        ({15: 4, 33: 2}, [(42, 90, 350, 6), (42, 70, 280, 6), (22, 60, 90, 6)]),
        ({18: 3, 27: 2}, [(64, 70, 500, 8), (42, 80, 330, 0)]),
    ],
)
def test_small_jobs_come_out_as_when_every_plan_is_tried(counts, boards):
    job = job_of(counts, boards)
    plan, best = plan_cuts(job), cheapest(job)
    assert plan.floor <= best
    assert plan.cost == best


def test_any_prices_prove_something_and_none_too_much():
    job = job_of({20: 2, 30: 2}, [(44, 80, 300, 5), (22, 90, 170, 5)])
    best = cheapest(job)
    sizes = ((20, 10, 20), (20, 10, 30))
    kinds = (("0",), ("1",))
    some = (0, 10_000_000, 55_000_000, 80_000_000, 10**9)
    for *prices, strip in product(some, some, (0, -1_000_000, -90_000_000)):
        assert (
            prove(
                Prices("ash", sizes, kinds, (STRIPS,), (Leaf((0, 0), (1, 1), tuple(prices), (0,), (-1,), (strip,)),)),
                job,
            )
            <= best
        )


@pytest.mark.parametrize(
    "wrong",
    [
        "strip paid without a most",
        "part left out",
        "board left out",
        "leaf left out",
        "leaf twice",
        "price below nought",
    ],
)
def test_a_proof_that_leaves_plans_out_is_refused(wrong):
    job = job_of({20: 2, 30: 2}, [(44, 80, 300, 5), (22, 90, 170, 5)])
    any_number = ((0,), (-1,), (0,))
    halves = (
        Leaf((0, 0), (0, 1), (10, 10), *any_number),
        Leaf((1, 0), (1, 1), (10, 10), (0,), (2,), (5,)),
        Leaf((1, 0), (1, 1), (10, 10), (3,), (-1,), (-5,)),
    )
    sound = Prices("ash", ((20, 10, 20), (20, 10, 30)), (("0",), ("1",)), (STRIPS,), halves)
    assert prove(sound, job) >= 0
    bad = {
        "part left out": replace(sound, sizes=sound.sizes[:1]),
        "board left out": replace(sound, kinds=sound.kinds[:1]),
        "leaf left out": replace(sound, leaves=halves[:2]),
        "leaf twice": replace(sound, leaves=(*halves, halves[0])),
        "strip paid without a most": replace(sound, leaves=(*halves[:2], replace(halves[2], count_prices=(5,)))),
        "price below nought": replace(sound, leaves=(replace(halves[0], prices=(10, -1)), *halves[1:])),
    }[wrong]
    with pytest.raises(FloorError):
        prove(bad, job)


def test_a_plan_that_costs_its_floor_is_the_cheapest_and_the_first_plan_need_not_be():
    job = job_of({15: 4, 33: 2}, [(42, 90, 350, 6), (42, 70, 280, 6), (22, 60, 90, 6)])
    assert first_cut_plan(job).cost >= cheapest(job)


def test_leaves_told_apart_by_strips_prove_what_they_say_and_no_more():
    job = job_of({15: 4, 33: 2}, [(42, 90, 350, 6), (42, 70, 280, 6), (22, 60, 90, 6)])
    floor = plan_cuts(job).floors[0]
    priced = [leaf for leaf in floor.prices.leaves if any(leaf.count_prices)]
    assert {price > 0 for leaf in priced for price in leaf.count_prices} == {True, False}
    assert prove(floor.prices, job) == floor.floor <= cheapest(job)
    # Without the leaf that holds the many strips, plans are left out.
    fewer = replace(floor.prices, leaves=tuple(leaf for leaf in floor.prices.leaves if leaf is not priced[0]))
    with pytest.raises(FloorError, match="leave plans out"):
        prove(fewer, job)
