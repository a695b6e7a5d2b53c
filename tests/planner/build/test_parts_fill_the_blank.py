"""Parts tile the blank exactly, and their sizes at every stage add up to it, joint by joint."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import ALONG, BoardSpec, BuildError, build
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop

mm = Length.of_mm
SHOP = Shop()
# Glued row by row; panels have tests of their own.
BY_ROWS = ("tiles", "runs", "deep")
WOODS = ["beech", "sycamore", "walnut-black", None, None]


@st.composite
def patterns(draw, side: int = 8):
    height, width = draw(st.integers(1, side)), draw(st.integers(1, side))
    row = st.lists(st.sampled_from(WOODS), min_size=width, max_size=width)
    return Pattern.of(draw(st.lists(row, min_size=height, max_size=height)))


@st.composite
def specs(draw):
    eighths = st.integers(4, 12).map(lambda n: Length.of_inches(Fraction(n, 8)))
    whole = st.integers(8, 40).map(mm)
    border = st.one_of(st.just(ZERO), st.integers(5, 80).map(mm), eighths)
    return BoardSpec(
        use="wall",
        pitch=draw(st.one_of(whole, eighths)),
        thickness=draw(st.integers(10, 30).map(mm)),
        side_border=draw(border),
        end_border=draw(border),
        method=draw(st.sampled_from(BY_ROWS)),
        quantity=1,
        border_wood="sycamore",
        along=draw(st.sampled_from(ALONG)),
    )


def built(pattern, spec):
    try:
        return build(pattern, spec, spec.method, SHOP)
    except BuildError:
        return None


@given(patterns(), specs())
@settings(max_examples=200, deadline=None)
def test_pieces_cover_the_blank_without_hole_or_overlap(pattern, spec):
    board = built(pattern, spec)
    if board is None:
        return
    pieces = list(board.placed)
    # Row by row, each piece begins where the last one ended, and each row where the last one ended.
    y = ZERO
    while pieces:
        row = [piece for piece in pieces if piece.y == y]
        assert row, "a gap between rows"
        x = ZERO
        for piece in sorted(row, key=lambda piece: piece.x):
            assert piece.x == x and piece.width == row[0].width
            x = x + piece.length
        assert x == board.blank_length
        pieces = [piece for piece in pieces if piece.y != y]
        y = y + row[0].width
    assert y == board.blank_height


@given(patterns(), specs())
@settings(max_examples=200, deadline=None)
def test_crosscut_lengths_and_glue_lines_make_up_the_row(pattern, spec):
    board = built(pattern, spec)
    if board is None:
        return
    for row in board.rows:
        parts = [board.parts[n] for n in row.parts]
        glued = sum((part.stage("crosscut").length for part in parts), ZERO) + SHOP.glue_line * (len(parts) - 1)
        assert glued == board.blank_length
        assert sum((part.stage("finished").length for part in parts), ZERO) == board.finished_length


@given(patterns(), specs())
@settings(max_examples=200, deadline=None)
def test_dressed_widths_and_glue_lines_make_up_the_height(pattern, spec):
    board = built(pattern, spec)
    if board is None:
        return
    column = [board.parts[row.parts[0]] for row in board.rows]
    if board.top_border is not None:
        column = [board.parts[board.top_border], *column, board.parts[board.bottom_border]]
    dressed = sum((part.stage("dressed").width for part in column), ZERO) + SHOP.glue_line * (len(column) - 1)
    assert dressed == board.blank_height
    assert sum((part.stage("finished").width for part in column), ZERO) == board.finished_height


@given(patterns(), specs())
@settings(max_examples=100, deadline=None)
def test_a_size_only_shrinks_from_stage_to_stage_until_the_board(pattern, spec):
    board = built(pattern, spec)
    if board is None:
        return
    for part in board.parts:
        ripped, gauged, crosscut, dressed, finished = part.stages
        assert ripped.width > gauged.width >= dressed.width
        assert gauged.length == crosscut.length == dressed.length
        assert dressed.thickness - finished.thickness == SHOP.flattening


@given(patterns(), specs())
@settings(max_examples=100, deadline=None)
def test_every_tile_of_the_picture_lies_in_just_one_piece(pattern, spec):
    board = built(pattern, spec)
    if board is None:
        return
    assert sum(part.tiles * part.deep * part.count for part in board.parts) == pattern.height * pattern.width


def test_a_run_of_three_is_cut_longer_than_three_tiles_by_two_glue_lines():
    pattern = Pattern.of([[None, "beech", "beech", "beech", "sapele", None]])
    spec = BoardSpec("wall", mm(20), mm(18), mm(30), mm(30), "runs", 1, "sycamore")
    run = next(part for part in build(pattern, spec, "runs", SHOP).parts if part.wood == "beech")
    tile = next(part for part in build(pattern, spec, "tiles", SHOP).parts if part.wood == "beech")
    assert run.stage("crosscut").length - tile.stage("crosscut").length * 3 == SHOP.glue_line * 2
    assert tile.stage("crosscut").length == mm("19.9")


def test_three_eighths_stay_three_eighths():
    # 152 tiles of 3/8 in are 57 in; with borders of 1 1/2 in a board of just 60 in.
    pattern = Pattern.of([[None, *["beech"] * 150, None]])
    inches = Length.of_inches
    spec = BoardSpec("wall", inches("3/8"), inches("3/4"), inches("3/2"), inches(2), "tiles", 1, "sycamore")
    assert build(pattern, spec, "tiles", SHOP).finished_length == inches(60)


@pytest.mark.parametrize("method", BY_ROWS)
def test_background_beside_a_side_border_is_one_piece_with_it(method):
    pattern = Pattern.of([[None, None, "beech", None], [None, "beech", "beech", None]])
    spec = BoardSpec("wall", mm(20), mm(18), mm(50), mm(30), method, 1, "sycamore")
    board = build(pattern, spec, method, SHOP)
    first = board.parts[board.rows[0].parts[0]]
    assert (first.kind, first.tiles, first.wood) == ("side border", 2, "sycamore")
    # Left long by the end trim: 5 + 50 + 2 × 20, less half a glue line at its one joint.
    assert first.stage("crosscut").length == mm("94.95")
    assert first.stage("finished").length == mm(90)


def test_a_row_of_background_only_is_one_piece_from_side_to_side():
    pattern = Pattern.of([[None, None], [None, "beech"]]).padded(0, 1, 0, 0)
    spec = BoardSpec("wall", mm(20), mm(18), mm(50), mm(30), "tiles", 1, "sycamore")
    board = build(pattern, spec, "tiles", SHOP)
    through = board.parts[board.rows[0].parts[0]]
    assert through.kind == "through row" and len(board.rows[0].parts) == 1
    assert through.stage("crosscut").length == board.blank_length
