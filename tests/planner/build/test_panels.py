"""Rows sliced off panels, end grain up: strips counted and measured panel by panel, and the picture they make."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from planner.build import ALONG, BoardSpec, BuildError, build, longest_strip
from planner.cutting import CuttingError, lumber_need
from planner.cutting.fromshop.checks import rough_for
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize
from tests.planner.build.test_parts_fill_the_blank import SHOP, patterns

mm = Length.of_mm
STOCK = dict.fromkeys(("beech", "sycamore", "walnut-black"), StockSize(mm(40), mm(150)))
TRIM, EDGE = 5, 3


def spec_of(side=0, end=0, along="rows", quantity=1, pitch=20, thickness=30):
    return BoardSpec("wall", mm(pitch), mm(thickness), mm(side), mm(end), "panels", quantity, "sycamore", along)


def made(pattern, spec, shop=SHOP, stock=STOCK):
    try:
        return build(pattern, spec, "panels", shop, stock=stock)
    except BuildError:
        assume(False)


@given(patterns(6), st.sampled_from([0, 7]), st.sampled_from([0, 8, 40]), st.sampled_from(ALONG))
@settings(max_examples=80, deadline=None)
def test_slices_cover_the_blank_and_show_the_picture_within_its_borders(pattern, side, end, along):
    board = made(pattern, spec_of(side, end, along))
    pitch, edge = 20, EDGE if end else 0
    # Strips and borders may be dealt out in fractions of a millimetre: looked at in the middle of every tile.
    pieces = list(board.placed)
    assert sum((p.length.mm * p.width.mm for p in pieces), Fraction(0)) == board.blank_length.mm * board.blank_height.mm

    def wood_at(x, y):
        (one,) = (p for p in pieces if 0 <= x - p.x.mm < p.length.mm and 0 <= y - p.y.mm < p.width.mm)
        return board.parts[one.part].wood

    for r in range(board.pattern.height):
        for c in range(board.pattern.width):
            x, y = TRIM + side + c * pitch + pitch // 2, edge + end + r * pitch + pitch // 2
            assert wood_at(x, y) == (board.pattern.cell(r, c) or "sycamore")
        if side:
            assert wood_at(TRIM + side // 2, edge + end + r * pitch + 10) == "sycamore"
    if end:
        assert wood_at(0, edge + end // 2) == wood_at(0, int(board.blank_height.mm) - edge - end // 2) == "sycamore"
    assert board.picture == pattern


def rows_by_hand(board):
    """Rows as strings of woods with their borders, those with borders along them between plain rows."""
    spec, rows = board.spec, []
    for r in range(board.pattern.height):
        cells = [board.pattern.cell(r, c) or "sycamore" for c in range(board.pattern.width)]
        rows.append(["sycamore", *cells, "sycamore"] if spec.side_border else cells)
    return rows


@given(patterns(6), st.sampled_from([0, 7]), st.integers(1, 60))
@example(Pattern.of([["beech"]] * 4), 0, 21)  # three panels, all of them full
@settings(max_examples=80, deadline=None)
def test_one_panel_serves_equal_rows_rows_equal_end_for_end_and_every_copy(pattern, side, quantity):
    board = made(pattern, spec_of(side, quantity=quantity), stock={})
    often = Counter(min(tuple(row), tuple(row[::-1])) for row in rows_by_hand(board))
    assert sorted(panel.slices for panel in board.panels) == sorted(times * quantity for times in often.values())
    # A slice of 31 and a cut of 3; of a strip the last 100 are held. Walked slice by slice.
    for panel in board.panels:
        lengths, left = Counter(), panel.slices
        while left:
            length = 100
            while left and length + 34 <= longest_strip(SHOP).mm:
                length, left = length + 34, left - 1
            lengths[mm(length)] += 1
        assert Counter(dict(panel.lengths)) == lengths and panel.count == sum(lengths.values())
        assert panel.total.mm == panel.slices * 34 + panel.count * (100 + 2 * 25)
    # Every strip of every panel is a part, and every piece of the boards comes out of one.
    strips = sum(panel.count * len(panel.strips) for panel in board.panels)
    assert sum(part.count for part in board.parts) == strips
    assert sum(part.pieces for part in board.parts) == quantity * sum(len(row.parts) for row in board.rows)
    for row, cells in zip(board.rows, rows_by_hand(board), strict=True):
        runs = [cell for n, cell in enumerate(cells) if not n or cells[n - 1] != cell]
        assert [board.parts[n].wood for n in row.parts] == runs
        strips_of = board.panels[row.panel - 1].strips
        assert row.parts == (strips_of[::-1] if row.turned else strips_of)
    assert (board.seams, board.weakest, board.joints.in_rows) == ((), None, 0)


@given(patterns(5), st.sampled_from([0, 30]), st.sampled_from([0, 25, 60]), st.integers(1, 5))
@settings(max_examples=60, deadline=None)
def test_what_stays_in_the_boards_is_their_volume_and_no_strip_is_wider_than_its_stock(pattern, side, end, quantity):
    board = made(pattern, spec_of(side, end, quantity=quantity))
    need = lumber_need(board, SHOP, STOCK)
    each = board.finished_length.mm * board.finished_height.mm * board.spec.thickness.mm
    assert need.net_mm3 == quantity * each
    assert all(part.stage("ripped").width + SHOP.rough_edge_trim <= mm(150) for part in board.parts)
    assert all(part.stage("ripped").thickness + SHOP.milling <= mm(40) for part in board.parts)
    assert sum(one.pieces for one in need.woods) == sum(part.count for part in board.parts)


def test_the_sizes_of_a_strip_stage_by_stage():
    """Tiles of 20, a board 30 thick. One slice of 31, a cut of 3 and 100 to hold: 134 long. Three edges of four are
    glued: each loses 0.05 and has 0.2 to dress. 20 high, less a glue line of 0.1, two edges of 0.2 to dress, and 1 to
    flatten the panel: 21.3 as glued."""
    board = build(Pattern.of([["beech", "beech", "walnut-black", "sycamore"]]), spec_of(), "panels", SHOP)
    first, middle, last = board.parts
    assert (first.kind, first.tiles, middle.kind, middle.tiles) == ("end strip", 2, "strip", 1)
    sizes = [[stage.length, stage.width, stage.thickness] for stage in middle.stages]
    assert sizes == [
        [mm(134), mm("20.8"), mm("21.3")],
        [mm(134), mm("20.3"), mm("21.3")],
        [mm(134), mm("20.3"), mm("21.3")],
        [mm(134), mm("19.9"), mm("20.3")],
        [mm(30), mm(20), mm(20)],
    ]
    # Left long by 5 where the row ends: 40 + 5, less half a glue line, one edge to dress, 0.5 to gauge.
    assert first.stage("ripped").width == mm("45.65") and last.stage("finished").width == mm(20)


def test_a_border_along_the_rows_is_as_many_slices_as_the_stock_is_thick_for():
    # 40 and 3 to trim are 43; stock of 40 gives 40 - 3 - 1.3 = 35.7: two of 21.5 on either side.
    board = made(Pattern.of([["beech"]]), spec_of(end=40))
    border = [mm("21.5")] * 2
    assert [board.parts[row.parts[0]].place_width for row in board.rows] == [*border, mm(20), *border]
    assert [row.first for row in board.rows] == [0, 0, 1, 0, 0] and board.counts.row_joints == 4
    assert board.panels[0].slices == 4


@pytest.mark.parametrize(
    ("stock", "pitch", "words", "field"),
    [
        (StockSize(mm(24), mm(150)), 20, "panels are 21.3 mm thick as they are glued and ask for 24.3 mm", "pitch"),
        (StockSize(mm(40), mm(150)), 9, "narrower than the 10 mm", "pitch"),
    ],
)
def test_what_the_stock_or_the_saw_does_not_give_is_refused_in_words(stock, pitch, words, field):
    woods = dict.fromkeys(("beech", "walnut-black", "sycamore"), stock)
    board = build(Pattern.of([["beech", "walnut-black"] * 2]), spec_of(pitch=pitch), "panels", SHOP, stock=woods)
    with pytest.raises(CuttingError, match=words) as refusal:
        lumber_need(board, SHOP, woods)
    assert refusal.value.field == field


def test_a_shop_that_rips_too_short_for_one_slice_is_told():
    with pytest.raises(BuildError, match="Not one slice") as refusal:
        build(Pattern.of([["beech"]]), spec_of(), "panels", Shop(longest_rip=mm(250)))
    assert refusal.value.field == "longest_rip"


@pytest.mark.parametrize("shop", [SHOP, Shop(snipe=ZERO, grip=ZERO), Shop(longest_rip=mm(997), rough_step=mm(10))])
def test_the_longest_strip_comes_out_of_the_longest_rough_length(shop):
    longest = longest_strip(shop)
    assert rough_for(longest, shop) <= shop.longest_rip
    assert longest + shop.rough_end_trim * 2 <= shop.longest_rip


def test_end_grain_is_told_never_to_meet_a_planer():
    (warning,) = made(Pattern.of([["beech"]]), spec_of()).warnings
    assert "never goes through a thickness planer" in warning.words
