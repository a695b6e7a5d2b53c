"""Laying parts into strips and strips into rough lengths, against plain item-by-item first-fit decreasing."""

from dataclasses import replace
from fractions import Fraction
from random import Random
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cutting import lumber_need
from planner.cutting.lumber import laid_in_strips, rough_lengths, usable_length
from planner.shop import Shop, StockSize
from tests.planner.cutting.boards import EVERY_STOCK, board, mm

SHOP = Shop(longest_rip=mm(900))
LENGTHS = st.dictionaries(st.integers(4, 640), st.integers(1, 60), min_size=1, max_size=8)


def first_fit_decreasing(sizes, room):
    """The plain habit: longest first, each into the first bin that still has room."""
    bins, left = [], []
    for size in sorted(sizes, reverse=True):
        for i, space in enumerate(left):
            if size <= space:
                bins[i].append(size)
                left[i] -= size
                break
        else:
            bins.append([size])
            left.append(room - size)
    return bins


def laid(lengths, shop=SHOP):
    """Every strip, one by one, as the list of its crosscut lengths."""
    section = laid_in_strips(mm(20), mm(19), {mm(length): count for length, count in lengths.items()}, shop)
    return [
        [length.mm for length, n in strip.cuts for _ in range(n)]
        for strip in section.strips
        for _ in range(strip.count)
    ]


@settings(max_examples=300, deadline=None)
@given(LENGTHS)
def test_laying_equal_strips_at_once_is_first_fit_decreasing_item_by_item(lengths):
    kerf = SHOP.crosscut_kerf.mm
    items = [length + kerf for length, count in lengths.items() for _ in range(count)]
    plain = first_fit_decreasing(items, usable_length(SHOP).mm)
    assert laid(lengths) == [[size - kerf for size in strip] for strip in plain]


@settings(max_examples=150, deadline=None)
@given(LENGTHS, st.integers(0, 60), st.integers(1, 5))
def test_every_strip_keeps_its_trims_and_its_whole_grip_after_the_last_kerf(lengths, grip, kerf):
    shop = replace(SHOP, grip=mm(100 + grip), longest_rip=mm(1000), crosscut_kerf=mm(kerf))
    section = laid_in_strips(mm(20), mm(19), {mm(length): count for length, count in lengths.items()}, shop)
    for strip in section.strips:
        cut = sum(((length + shop.crosscut_kerf) * n for length, n in strip.cuts), mm(0))
        assert strip.needed - shop.rough_end_trim * 2 - cut >= shop.grip
        assert shop.shortest_machined <= strip.needed <= shop.longest_rip
    for length, count in lengths.items():
        assert count == sum(dict(s.cuts).get(mm(length), 0) * s.count for s in section.strips)


def test_a_strip_is_filled_to_the_last_tenth_and_no_further():
    # 900 − 2 × 25 − 100 leaves 750: thirty parts of 22 with kerfs of 3, and not one of them a tenth longer.
    assert usable_length(SHOP) == mm(750)
    assert [len(strip) for strip in laid({22: 31})] == [30, 1]
    assert [len(strip) for strip in laid({Fraction("22.1"): 31})] == [29, 2]


@settings(max_examples=150, deadline=None)
@given(LENGTHS, st.integers(40, 220))
def test_strips_go_across_the_stock_first_fit_longest_first(lengths, width):
    stock = StockSize(mm(25), mm(width))
    wide, narrow = (
        laid_in_strips(mm(across), mm(19), {mm(length): count for length, count in some.items()}, SHOP)
        for across, some in ((30, lengths), (20, {length: count // 2 + 1 for length, count in lengths.items()}))
    )
    strips = [*wide.strips, *narrow.strips]
    rough = rough_lengths(strips, SHOP, stock)
    items = sorted(((s.needed, s.width) for s in strips for _ in range(s.count)), reverse=True)
    room, kerf = (stock.width - SHOP.rough_edge_trim + SHOP.rip_kerf).mm, SHOP.rip_kerf.mm
    plain = []
    for needed, across in items:
        for bin_ in plain:
            if bin_[1] + across.mm + kerf <= room:
                bin_[1] += across.mm + kerf
                bin_[2].append(across)
                break
        else:
            plain.append([needed, across.mm + kerf, [across]])
    found = sorted((r.length, r.strips) for r in rough for _ in range(r.count))
    assert found == sorted((needed, tuple(widths)) for needed, _, widths in plain)
    for one in rough:
        ripped = sum(one.strips, mm(0)) + SHOP.rip_kerf * (len(one.strips) - 1) + SHOP.rough_edge_trim
        assert ripped <= one.width <= stock.width
        rest = stock.width - one.width
        assert not rest or rest >= SHOP.narrowest_strip


@pytest.mark.parametrize("method", ["tiles", "runs"])
def test_twenty_boards_of_forty_thousand_cells_are_laid_out_at_once(method):
    chance = Random(7)
    rows = ["-" + "".join(chance.choice("bws") for _ in range(198)) + "-" for _ in range(200)]
    shop = Shop(longest_rip=mm(2600))
    made = board(rows, shop, method=method, pitch=10, thickness=12, side=20, end=20, quantity=20)
    start = perf_counter()
    need = lumber_need(made, shop, EVERY_STOCK)
    # A fifth of a second here; the limit leaves room for a slow machine.
    assert perf_counter() - start < 3
    assert sum(wood.pieces - wood.spares for wood in need.woods) == 20 * made.counts.pieces
    assert sum(wood.tiles for wood in need.woods) == 20 * 198 * 200
