"""Joints are counted and seams are carried as a plain walk over the cells says."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import BoardSpec, BuildError, build
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop
from tests.planner.build.test_parts_fill_the_blank import SHOP, patterns

mm = Length.of_mm
BARE = Shop(glue_line=ZERO, end_trim=ZERO, edge_trim=ZERO, dressing=ZERO)


def board_of(cells, method, side=ZERO, end=ZERO, shop=BARE, border="sycamore"):
    spec = BoardSpec("wall", mm(20), mm(18), side, end, method, 1, border)
    return build(cells if isinstance(cells, Pattern) else Pattern.of(cells), spec, method, shop)


def walked(pattern: Pattern, method: str, bordered: bool) -> list[list[bool]]:
    """Whether row r is jointed left of column c, cell by cell; the border wood is sycamore."""
    lines = []
    for r in range(pattern.height):
        row = [pattern.cell(r, c) for c in range(pattern.width)]
        if method == "runs":
            laid = [cell or "sycamore" for cell in row]
            inner = [a != b for a, b in pairwise(laid)]
            ends = [laid[0] != "sycamore", laid[-1] != "sycamore"]
        else:
            lead = next((i for i, cell in enumerate(row) if cell), len(row))
            trail = len(row) - next((i for i, cell in enumerate(row[::-1]) if cell), len(row))
            inner = [not (c < lead or c > trail) for c in range(1, len(row))]
            ends = [row[0] is not None, row[-1] is not None]
        lines.append([bordered and ends[0], *inner, bordered and ends[1]])
    return lines


@given(patterns(), st.sampled_from(["tiles", "runs"]), st.booleans(), st.sampled_from([0, 25]))
@settings(max_examples=300, deadline=None)
def test_seams_and_joints_are_those_of_a_walk_over_the_cells(pattern, method, bordered, end):
    try:
        board = board_of(pattern, method, mm(40) if bordered else ZERO, mm(end), SHOP)
    except BuildError:
        return
    lines = walked(pattern, method, bordered)
    assert board.joints.in_rows == sum(map(sum, lines)) == board.counts.joints_in_rows
    found = {}
    for column in range(pattern.width + 1):
        down = [line[column] for line in lines]
        if any(down):
            gap = max(len(stretch) for stretch in "".join(" x"[jointed] for jointed in down).split())
            found[column] = (mm(20 * down.count(False) + 2 * end), mm(20 * gap))
    assert {seam.column: (seam.carried, seam.longest_gap) for seam in board.seams} == found
    assert all(seam.of == board.finished_height for seam in board.seams)
    if found:
        assert board.weakest.carried == min(carried for carried, _ in found.values())


@given(patterns(), st.sampled_from(["tiles", "runs"]))
@settings(max_examples=100, deadline=None)
def test_a_row_has_one_joint_fewer_than_pieces_and_pieces_are_counted_once(pattern, method):
    try:
        board = board_of(pattern, method, mm(40), mm(20), SHOP)
    except BuildError:
        return
    assert board.counts.joints_in_rows == sum(len(row.parts) - 1 for row in board.rows)
    assert board.counts.pieces == sum(len(row.parts) for row in board.rows) + 2
    assert board.counts.pieces == sum(part.count for part in board.parts)


def test_runs_never_need_more_pieces_than_single_tiles():
    cells = [["beech" if (r + c) % 2 else "sapele" for c in range(6)] for r in range(6)]
    assert board_of(cells, "runs").counts == board_of(cells, "tiles").counts


def test_glue_is_counted_once_a_joint_at_the_thickness_before_flattening():
    # Two rows of two tiles of 20 mm, 18 + 1 mm thick: two joints of 20 by 19 and one of 40 by 19.
    cells = [["beech", "sapele"], ["sapele", "beech"]]
    assert board_of(cells, "tiles").joints.glue_area_mm2 == 2 * 20 * 19 + 40 * 19
    # Top and bottom borders add one joint each.
    assert board_of(cells, "tiles", end=mm(25)).joints.glue_area_mm2 == 2 * 20 * 19 + 3 * 40 * 19


@pytest.mark.parametrize("method", ["tiles", "runs"])
def test_a_side_border_without_background_beside_it_is_refused_with_the_side_and_a_mend(method):
    with pytest.raises(BuildError, match="no background at its left") as refusal:
        board_of([["beech", None], ["beech", None]], method, mm(30))
    assert refusal.value.field == "side_border" and "Add background" in refusal.value.mend
    assert board_of([["beech", None], [None, None]], method, mm(30)).weakest is not None


def test_a_picture_tile_of_the_border_wood_carries_a_side_border_in_runs_only():
    cells = [["sycamore", "beech", None], ["beech", "beech", None]]
    assert board_of(cells, "runs", mm(30)).parts[0].kind == "side border"
    with pytest.raises(BuildError):
        board_of(cells, "tiles", mm(30))
