"""Painted piece by piece on millimetre paper, the blank shows the picture, its background and its borders."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.build import BoardSpec, BuildError, build
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop
from tests.planner.build.test_parts_fill_the_blank import BY_ROWS, patterns

mm = Length.of_mm
END_TRIM, EDGE_TRIM = 3, 2
SHOP = Shop(end_trim=mm(END_TRIM), edge_trim=mm(EDGE_TRIM))
BORDER = "sycamore"


def painted(board) -> np.ndarray:
    """The wood at every square millimetre, refusing to paint one twice or to leave one bare."""
    paper = np.full((int(board.blank_height.mm), int(board.blank_length.mm)), "", dtype="<U20")
    for piece in board.placed:
        top, left = int(piece.y.mm), int(piece.x.mm)
        spot = paper[top : top + int(piece.width.mm), left : left + int(piece.length.mm)]
        assert spot.shape == (piece.width.mm, piece.length.mm), "a piece over the edge"
        assert (spot == "").all(), "two pieces in one place"
        spot[:] = board.parts[piece.part].wood
    assert (paper != "").all(), "a hole"
    return paper


def drawn(pattern: Pattern, pitch: int, side: int, end: int) -> np.ndarray:
    """The same from the picture alone: border wood all over, then each tile."""
    height = pattern.height * pitch + 2 * (end + EDGE_TRIM)
    length = pattern.width * pitch + 2 * (side + END_TRIM)
    paper = np.full((height, length), BORDER, dtype="<U20")
    for r in range(pattern.height):
        for c in range(pattern.width):
            # The outermost tiles reach over the trim where no border does.
            top = end + EDGE_TRIM + r * pitch if r or end else 0
            left = side + END_TRIM + c * pitch if c or side else 0
            bottom = end + EDGE_TRIM + (r + 1) * pitch if r < pattern.height - 1 or end else height
            right = side + END_TRIM + (c + 1) * pitch if c < pattern.width - 1 or side else length
            paper[top:bottom, left:right] = pattern.cell(r, c) or BORDER
    return paper


@given(
    patterns(), st.integers(4, 7), st.sampled_from([0, 0, 3, 8]), st.sampled_from([0, 1, 6]), st.sampled_from(BY_ROWS)
)
@settings(max_examples=300, deadline=None)
def test_every_piece_is_of_the_wood_the_picture_has_there(pattern, pitch, side, end, method):
    spec = BoardSpec("wall", mm(pitch), mm(18), mm(side), mm(end), method, 1, BORDER)
    try:
        board = build(pattern, spec, method, SHOP)
    except BuildError as refusal:
        assert refusal.field in ("side_border", "")
        assume(False)
    assert (painted(board) == drawn(pattern, pitch, side, end)).all()


@pytest.mark.parametrize("method", BY_ROWS)
def test_a_side_border_stays_of_its_own_wood_beside_a_tile_of_another(method):
    pattern = Pattern.of([["beech", "sapele"], [None, None]])
    spec = BoardSpec("wall", mm(20), mm(18), mm(30), mm(30), method, 1, BORDER)
    board = build(pattern, spec, method, SHOP)
    first_row = [board.parts[number] for number in board.rows[0].parts]
    assert [part.wood for part in first_row] == [BORDER, "beech", "sapele", BORDER]
    assert [part.kind for part in first_row] == ["side border", "tile", "tile", "side border"]
    assert [part.tiles for part in first_row] == [0, 1, 1, 0]
