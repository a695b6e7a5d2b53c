"""Every piece a reckoning counts is in the job and in a plan made of it, no smaller than drawn, in mm and inch shops.

The outside checks: the counts of ``planner.cutting.lumber_need``, which gathers parts its own way, and a walk along
each board in exact lengths with the shop's own settings, which knows nothing of units.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import METHODS, BoardSpec, build
from planner.cutting import lumber_need, spares, widest_strips
from planner.cutting.fromshop import Wishes, cut_job, cuts_in, length_of, unit_of
from planner.cutting.plan import faults_of, first_cut_plan
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize
from tests.planner.cutting.fromshop.making import LETTERS, inch, made_by, mm, rack, record, some_rows

SHOPS = {
    "mm": Shop(),
    "in": Shop(
        crosscut_kerf=inch("1/8"), rip_kerf=inch("3/32"), rough_step=inch("1/4"), glue_line=inch("4/1000"),
        gauge_allowance=inch("1/32"), dressing=inch("1/128"), grip=inch(4), unit="in",
    ),
    # Kerfs in 64ths of an inch and glue in tenths of a millimetre: no unit as coarse as a hundredth is exact.
    "both": Shop(crosscut_kerf=inch("7/64"), rip_kerf=inch("1/8"), gauge_allowance=inch("1/32"), unit="in"),
}  # fmt: skip


def a_board(seed: int, unit: str):
    rng = random.Random(seed)
    pitch = mm(rng.randint(12, 30)) if unit == "mm" else inch(Fraction(rng.randint(8, 20), 16))
    rows = some_rows(rng, rng.randint(2, 8), rng.randint(4, 10))
    rows = [row for row in rows for _ in range(rng.choice([1, 1, 2]))]
    side = rng.choice([ZERO, pitch * 2])
    return rows, {
        "pitch": pitch, "thickness": mm(18) if unit == "mm" else inch("3/4"), "side": side,
        "end": rng.choice([ZERO, pitch + pitch]), "quantity": rng.randint(1, 3),
        "method": rng.choice(METHODS), "border": rng.choice(["sapele", "beech"]),
        "along": rng.choice(["rows", "rows", "columns"]),
    }  # fmt: skip


def spare_of(shop: Shop):
    return lambda needed: spares(needed, shop.spoil_rate, shop.spare_confidence)


def plenty():
    # As thick and wide as the stock a reckoning is told of: borders of end grain take all of it.
    sizes = {"thickness": mm(60), "width": mm(400), "length": mm(2600), "count": 8}
    return [piece for wood in ("beech", "walnut-black", "sapele") for piece in rack(wood, **sizes)]


@pytest.mark.parametrize("name", SHOPS)
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6), pair=st.booleans())
def test_the_counts_with_spares_are_those_of_the_lumber_for_the_same_board(name, seed, pair):
    shop = SHOPS[name]
    rows, sizes = a_board(seed, shop.unit)
    told = record(rows, shop, **sizes)
    pattern = Pattern.of([[LETTERS[cell] for cell in row] for row in rows])
    spec = BoardSpec(
        "wall", sizes["pitch"], sizes["thickness"], sizes["side"], sizes["end"], sizes["method"], sizes["quantity"],
        sizes["border"], sizes["along"],
    )  # fmt: skip
    stock = dict.fromkeys(LETTERS.values(), StockSize(mm(60), mm(400)))
    board = build(pattern, spec, spec.method, shop, widest_strips(stock, shop), stock=stock, spare=spare_of(shop))
    need = lumber_need(board, shop, stock)
    wanted: Counter = Counter()
    for wood in need.woods:
        for section in wood.sections:
            for length, count in section.lengths:
                wanted[wood.wood, section.width, length] += count
    found: Counter = Counter()
    for cut in cuts_in(told, shop, Wishes(pair_borders=pair)):
        for length in cut.pieces or (cut.length,):
            found[cut.wood, cut.ripped, length] += cut.count + cut.spares
    assert found == wanted


@pytest.mark.parametrize("name", SHOPS)
@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_a_plan_made_of_the_job_cuts_every_part_and_every_cut_has_its_place_in_true_lengths(name, seed):
    shop = SHOPS[name]
    rows, sizes = a_board(seed, shop.unit)
    told, pieces = record(rows, shop, **sizes), plenty()
    file = cut_job(told, shop, pieces)
    plan = first_cut_plan(file.job)
    assert faults_of(plan, file.job) == ()
    unit = unit_of(file.unit)
    wanted: Counter = Counter()
    for cut in cuts_in(told, shop, Wishes()):
        wanted[cut.wood] += cut.count + cut.spares
    made: Counter = Counter()
    by_mark = {piece.mark: piece for piece in pieces}
    for board in plan.boards:
        piece = by_mark[board.board]
        assert _walked(board, piece, shop, unit, told, file.job.rules.over_width * unit)
        for rough in board.rough:
            made[piece.wood] += sum(count for strip in rough.strips for _, count in strip.parts)
    assert made == wanted


def _walked(board, piece, shop: Shop, unit: Length, told, over: Length) -> bool:
    """Blade by blade along the board in exact lengths, each part taken at the length the reckoning gives it."""
    exact = defaultdict(list)
    for part in told["parts"]:
        if part["wood"] == piece.wood:
            exact[piece.wood].append(mm(part["stages"]["ripped"][0]))
    along = shop.check_trim
    for number, rough in enumerate(board.rough):
        length = length_of(rough.length, unit)
        along = along + (shop.crosscut_kerf if number else ZERO) + length
        across = ZERO
        for n, strip in enumerate(rough.strips):
            across = across + (shop.rip_kerf if n else ZERO) + length_of(strip.width, unit) + over
            blade = shop.snipe + shop.crosscut_kerf
            for size, count in strip.parts:
                true = max(one for one in exact[piece.wood] if one <= length_of(size, unit))
                assert length_of(size, unit) - true < unit
                blade = blade + (length_of(size, unit) + shop.crosscut_kerf) * count
            assert blade <= length - max(shop.grip, shop.snipe)
        assert across <= piece.width - shop.rough_edge_trim
        if rough.strips:
            assert length <= shop.longest_rip and length >= shop.shortest_machined
            assert (length / shop.rough_step).denominator == 1
    return along <= piece.length - shop.check_trim


def test_forty_thousand_tiles_become_a_job_and_a_plan():
    """200 by 200 single tiles of 12 mm: three kinds of part, whatever their number."""
    rng = random.Random(1)
    rows = ["".join(rng.choice("bw") for _ in range(200)) for _ in range(200)]
    shop = replace(Shop(), longest_rip=mm(3000))
    told = record(rows, shop, pitch=12, thickness=12)
    pieces = [
        piece
        for wood in ("beech", "walnut-black")
        for piece in rack(wood, thickness=25, width=200, length=3000, count=30)
    ]
    file = cut_job(told, shop, pieces)
    assert sum(part.count for part in file.job.parts) > 40_000 and len(file.job.parts) < 20
    plan = first_cut_plan(file.job)
    assert sum(made_by(plan).values()) == sum(part.count for part in file.job.parts)
