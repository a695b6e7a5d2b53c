"""What shorts can become: every part counted has its place, kerfs, trims and grip paid, and no piece more harms.

Hand sums use a plain shop; the outside check is a search of every way to cut a few pieces (`can_be_cut`), written apart
from the planner. Sizes and limits are common practice, no source.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cutting import lumber_need
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.pricing import Rates, Terms
from planner.reckoning import WoodOffer, reckon
from planner.record import to_record
from planner.shop import Shop, StockSize
from planner.shorts import Wanted, gathered, make_from, shelves, wanted_in
from tests.planner.cutting.boards import PLAIN, board

mm = Length.of_mm
NM = 10**6
# 150 mm of every length are trim and grip; a part and a strip cost 3 mm of kerf each; 6 mm go to straightening.
SHOP = replace(PLAIN, longest_rip=mm(1200), flattening=mm(1))


def parts(length, count=1, *, width=20, thickness=21, wood="beech", kind="tile", tiles=1, spares=0) -> Wanted:
    return Wanted(wood, kind, tiles, mm(width), mm(thickness), mm(length), count, spares)


def piece(key, length, width=26, *, thickness=24, wood="beech", surfaced=False):
    return key, wood, thickness * NM, width * NM, length * NM, surfaced


def made(wanted, pieces, shop=SHOP):
    return make_from(gathered(wanted, shop), shelves(pieces, shop), shop)


def lacking(answer) -> int:
    return sum(lack.count for wood in answer.woods for lack in wood.lacks)


# --- sums that can be followed on paper ---------------------------------------------------------------------


def test_the_grip_the_trims_and_a_kerf_for_every_part_are_paid():
    # 450 - 2 x 25 - 100 = 300; a tile of 17 with its kerf takes 20: fifteen of them, and not sixteen.
    assert made([parts(17, 15)], [piece(1, 450)]).can_be_made
    answer = made([parts(17, 16)], [piece(1, 450)])
    assert [(lack.count, lack.part.kind) for lack in answer.woods[0].lacks] == [(1, "tile")]
    assert not made([parts(17, 15)], [piece(1, 449)]).can_be_made


def test_strips_of_a_width_pay_a_kerf_between_them_and_the_straightening():
    # Three strips of 20 and two kerfs are 66; 6 more are lost to straightening.
    assert made([parts(17, 45)], [piece(1, 450, 72)]).can_be_made
    answer = made([parts(17, 45)], [piece(1, 450, 71)])
    assert lacking(answer) == 15 and answer.woods[0].share == Fraction(2, 3)


def test_nothing_shorter_than_the_shop_feeds_to_a_machine_is_counted_and_it_is_said():
    pieces = [piece(1, 299), piece(2, 300)]
    answer = made([parts(17, 7)], pieces)
    assert answer.can_be_made and [one.key for one in answer.woods[0].taken] == [2]
    assert (answer.woods[0].pieces, answer.woods[0].too_short) == (2, 1)


def test_rough_stock_loses_the_milling_and_surfaced_stock_does_not():
    assert made([parts(17)], [piece(1, 450, thickness=24)]).can_be_made
    thin = made([parts(17)], [piece(1, 450, thickness=23)])
    assert not thin.can_be_made and thin.woods[0].too_thin == 1
    assert made([parts(17)], [piece(1, 450, thickness=21, surfaced=True)]).can_be_made
    assert not made([parts(17)], [piece(1, 450, thickness=20, surfaced=True)]).can_be_made


def test_what_is_thinner_than_the_shop_planes_must_be_so_thick_already():
    shop = replace(SHOP, thinnest_planed=mm(22))
    assert not made([parts(17)], [piece(1, 450, thickness=30)], shop).can_be_made
    assert made([parts(17)], [piece(1, 450, thickness=21, surfaced=True)], shop).can_be_made


def test_a_strip_narrower_than_the_shop_rips_is_refused_in_words():
    answer = made([parts(17, width=9)], [piece(1, 450, 150)])
    assert not answer.can_be_made and answer.woods[0].taken == ()
    assert answer.woods[0].refused == (
        "A strip 9 mm wide is narrower than the 10 mm this shop rips; it could not be held safely."
    )


def test_the_smallest_piece_that_would_help_is_told_and_does_help():
    answer = made([parts(237, width=30)], [])
    (lack,) = answer.woods[0].lacks
    # 237 + 3 kerf + 50 trim + 100 grip; 30 + 6; 21 + 3.
    assert (lack.length, lack.width, lack.thickness) == (mm(390), mm(36), mm(24))
    assert made([parts(237, width=30)], [piece(1, 390, 36, thickness=24)]).can_be_made
    for side in ((389, 36, 24), (390, 35, 24), (390, 36, 23)):
        assert not made([parts(237, width=30)], [piece(1, side[0], side[1], thickness=side[2])]).can_be_made


def test_spares_come_out_of_the_pieces_too_or_it_is_said_that_they_do_not():
    tiles = [parts(17, 14, spares=2)]
    scarce = made(tiles, [piece(1, 450)])
    assert scarce.can_be_made and not scarce.spared
    assert made(tiles, [piece(1, 450), piece(2, 450)]).spared


def test_runs_of_several_lengths_share_a_strip():
    # 57 + 37 + 17, with a kerf each 120, is 300 - 180: one strip of 300 holds them and nine tiles of 20 more.
    wanted = [parts(57, kind="run", tiles=3), parts(37, kind="run", tiles=2), parts(17, 10)]
    answer = made(wanted, [piece(1, 450)])
    assert answer.can_be_made
    assert answer.woods[0].taken[0].strips[0].cuts == ((mm(57), 1), (mm(37), 1), (mm(17), 10))


def test_a_border_leaves_the_rest_of_its_piece_to_the_tiles():
    # 40 + 3 + 20 and 6 for straightening.
    wanted = [parts(240, width=40, kind="top or bottom border", tiles=0), parts(17, 15)]
    answer = made(wanted, [piece(1, 450, 69)])
    assert answer.can_be_made and [cut.width for cut in answer.woods[0].taken[0].strips] == [mm(40), mm(20)]
    assert not made(wanted, [piece(1, 450, 68)]).can_be_made


def test_a_board_longer_than_is_ripped_is_crosscut_first():
    # Of 2000 mm: 1200 and, after the kerf, 797; 1050 and 647 mm usable are 52 and 32 tiles.
    assert made([parts(17, 84)], [piece(1, 2000)]).can_be_made
    answer = made([parts(17, 85)], [piece(1, 2000)])
    assert lacking(answer) == 1
    assert sorted(one.length for one in answer.woods[0].taken) == [mm(797), mm(1200)]


def test_woods_are_kept_apart_and_a_board_waits_for_its_last_wood():
    wanted = [parts(17, 15), parts(17, 15, wood="walnut-black")]
    answer = made(wanted, [piece(1, 450), piece(2, 450)])
    assert not answer.can_be_made and answer.share == 0
    assert [wood.wood for wood in answer.woods if wood.lacks] == ["walnut-black"]
    assert made(wanted, [piece(1, 450), piece(2, 450, wood="walnut-black")]).can_be_made


# --- a kept record ------------------------------------------------------------------------------------------


def test_what_a_record_wants_is_what_its_reckoning_cuts():
    spoiling = replace(Shop(), spoil_rate=Fraction(2, 100))
    build = board(["-bwwb-", "-wbbw-", "-bbbb-"], spoiling, method="runs", pitch=17, side=30, end=25, quantity=3)
    offers = {
        wood: WoodOffer(wood, wood, (9, 9, 9), "ring", 10, "bf", StockSize(mm(32), mm(150)))
        for wood in ("beech", "walnut-black", "sapele")
    }
    record = to_record(reckon(build.pattern, build.spec, spoiling, offers, DEFAULT_TIMES, Rates(), Terms()))
    wanted = wanted_in(record, spoiling)
    need = lumber_need(build, spoiling, {wood: offer.stock for wood, offer in offers.items()})
    for wood in need.woods:
        (mine,) = [one.parts for one in wanted if one.wood == wood.wood]
        assert sum(part.count + part.spares for part in mine) == wood.pieces
        assert sum(part.spares for part in mine) == wood.spares
        asked = Counter()
        for part in mine:
            asked[part.width, part.length] += part.count + part.spares
        assert asked == {(s.width, length): n for s in wood.sections for length, n in s.lengths}
        assert {part.thickness for part in mine} == {section.thickness for section in wood.sections}


# --- whatever lies there ------------------------------------------------------------------------------------

some_parts = st.lists(
    st.builds(
        parts,
        st.integers(15, 300),
        st.integers(1, 12),
        width=st.sampled_from([20, 24, 40]),
        spares=st.integers(0, 2),
    ),
    min_size=1,
    max_size=6,
)
one_piece = st.tuples(
    st.integers(250, 2600), st.integers(20, 150), st.sampled_from([20, 22, 24, 30]), st.sampled_from([True, False])
)
some_pieces = st.lists(one_piece, max_size=8)


def on_the_rack(sizes):
    return [piece(n, long, wide, thickness=thick, surfaced=plane) for n, (long, wide, thick, plane) in enumerate(sizes)]


@settings(deadline=None, max_examples=300)
@given(some_parts, some_pieces)
def test_no_more_length_or_width_is_used_than_there_is_and_every_part_counted_is_cut(wanted, sizes):
    pieces = on_the_rack(sizes)
    (wood,) = made(wanted, pieces).woods
    cut = Counter()
    rough = defaultdict(list)
    for one in wood.taken:
        rough[one.key].append(one.length)
        assert one.length >= SHOP.shortest_machined and one.length <= SHOP.longest_rip
        strips = sum(strip.count for strip in one.strips)
        ripped = sum((strip.width * strip.count for strip in one.strips), mm(0)) + SHOP.rip_kerf * (strips - 1)
        assert ripped + SHOP.rough_edge_trim <= Length.from_nm(pieces[one.key][3])
        for strip in one.strips:
            used = sum(((length + SHOP.crosscut_kerf) * n for length, n in strip.cuts), mm(0))
            assert used + SHOP.rough_end_trim * 2 + SHOP.grip <= one.length
            for length, n in strip.cuts:
                cut[strip.width, length] += n * strip.count
    for key, lengths in rough.items():
        _, _, thickness, _, length, surfaced = pieces[key]
        assert sum(lengths, mm(0)) + SHOP.crosscut_kerf * (len(lengths) - 1) <= Length.from_nm(length)
        assert Length.from_nm(thickness) >= mm(21) + (mm(0) if surfaced else SHOP.milling)
    asked = Counter()
    for part in wanted:
        asked[part.width, part.length] += part.count + (part.spares if wood.spared else 0)
    for lack in wood.lacks:
        asked[lack.part.width, lack.part.length] -= lack.count
    assert +asked == cut


@settings(deadline=None, max_examples=400)
@given(some_parts, some_pieces, one_piece)
def test_a_piece_more_never_makes_it_worse(wanted, sizes, more):
    without, with_it = made(wanted, on_the_rack(sizes)), made(wanted, on_the_rack([*sizes, more]))
    assert with_it.share >= without.share
    assert with_it.can_be_made or not without.can_be_made
    assert with_it.spared or not without.spared


@lru_cache(maxsize=100_000)
def can_be_cut(wanted, room, strips) -> bool:
    """Whether every part (width, length) has a place, by trying all: ``room`` is (width left, length) of each piece
    and ``strips`` what is begun, (width, length left), each in its own order."""
    if not wanted:
        return True
    (width, length), rest = wanted[0], wanted[1:]
    for n, (wide, left) in enumerate(strips):
        if wide == width and length + 3 <= left:
            begun = (*strips[:n], (wide, left - length - 3), *strips[n + 1 :])
            if can_be_cut(rest, room, tuple(sorted(begun))):
                return True
    for n, (across, long) in enumerate(room):
        if width <= across and length + 3 <= long:
            less = (*room[:n], (across - width - 3, long), *room[n + 1 :])
            if can_be_cut(rest, tuple(sorted(less)), tuple(sorted((*strips, (width, long - length - 3))))):
                return True
    return False


few_parts = st.lists(st.tuples(st.sampled_from([20, 40]), st.integers(20, 200)), min_size=1, max_size=5)
few_pieces = st.lists(st.tuples(st.integers(300, 520), st.integers(26, 120)), max_size=3)


@settings(deadline=None, max_examples=300)
@given(few_parts, few_pieces)
def test_what_is_said_to_be_possible_is_found_by_trying_every_way(wanted, sizes):
    answer = made([parts(long, width=wide) for wide, long in wanted], [piece(n, *size) for n, size in enumerate(sizes)])
    room = tuple(sorted((wide - 6, long - 150) for long, wide in sizes))
    if answer.can_be_made:
        assert can_be_cut(tuple(sorted(wanted, reverse=True)), room, ())


@settings(deadline=None, max_examples=200)
@given(st.integers(20, 120), st.integers(1, 6), few_pieces)
def test_of_parts_all_alike_nothing_that_is_possible_is_missed(length, count, sizes):
    answer = made([parts(length, count)], [piece(n, *size) for n, size in enumerate(sizes)])
    room = tuple(sorted((wide - 6, long - 150) for long, wide in sizes))
    most = max(n for n in range(count + 1) if can_be_cut(((20, length),) * n, room, ()))
    assert lacking(answer) == count - most
