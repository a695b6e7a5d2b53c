"""A tile that touches none of its own wood is pointed out, each sort once, and eyes are left to the maker."""

from __future__ import annotations

from hypothesis import given

from planner.mending import hints_of
from tests.planner.mending.grids import cells_of, grid, grids, mended


def singles(pattern):
    return [hint for hint in hints_of(pattern) if hint.kind == "single"]


def by_looking(pattern) -> set[tuple[int, int]]:
    """Every tile with a neighbour and none of its own wood on four sides, cell by cell."""
    cells = cells_of(pattern)
    found = set()
    for r in range(pattern.height):
        for c in range(pattern.width):
            around = [
                cells[y][x]
                for y, x in ((r, c - 1), (r, c + 1), (r - 1, c), (r + 1, c))
                if 0 <= y < pattern.height and 0 <= x < pattern.width
            ]
            if around and cells[r][c] not in around:
                found.add((r, c))
    return found


@given(grids())
def test_every_single_tile_is_pointed_out_once_and_no_other(pattern):
    told = [cell for hint in singles(pattern) for cell in hint.cells]
    assert len(told) == len(set(told)) and set(told) == by_looking(pattern)


@given(grids("bw", most=7))
def test_a_tile_that_stands_alone_is_gone_once_its_mend_is_laid(pattern):
    for hint in singles(pattern):
        if "single tile" in hint.words and len(hint.cells) == 1:
            assert not set(hint.cells) & by_looking(mended(pattern, hint))


def test_two_eyes_are_one_hint_that_leaves_them_to_the_maker():
    face = grid("bbbbbbb bbwbwbb bbbbbbb bwwwwwb bbbbbbb")
    (hint,) = singles(face)
    assert hint.cells == ((1, 2), (1, 4))
    assert hint.words.startswith("2 single tiles of walnut in beech, row 2: each is a piece by itself")
    assert hint.words.endswith("leave them if they are meant, as eyes are.")
    assert mended(face, hint) == grid("bbbbbbb bbbbbbb bbbbbbb bwwwwwb bbbbbbb")


def test_a_hole_of_one_cell_is_a_piece_of_the_border_wood_and_told():
    (hint,) = singles(grid("bbb b.b bbb"))
    assert hint.cells == ((1, 1),) and "background in beech, row 2, column 2" in hint.words


def test_a_chequered_field_is_one_hint_for_its_two_woods():
    board = grid("bwbwbw wbwbwb bwbwbw wbwbwb")
    (hint,) = singles(board)
    assert len(hint.cells) == 24 and "24 tiles of beech and walnut laid by turns" in hint.words
    assert mended(board, hint).counts() == {"beech": 24}


def test_a_chequered_field_on_a_ground_of_one_of_its_woods_is_one_hint_rim_and_corners_included():
    field = grid("bbbbbbb bwbwbwb bbwbwbb bwbwbwb bbbbbbb")
    (hint,) = singles(field)
    assert "laid by turns" in hint.words
    assert set(hint.cells) == by_looking(field)
    # The ground's wood stays, for there is more of it.
    assert hint.mend.words == "Lay beech throughout" and mended(field, hint).counts() == {"beech": 35}


def test_two_single_tiles_of_two_woods_side_by_side_are_no_chequered_field():
    eye = grid("bbbbbb bbwsbb bbbbbb")
    assert [hint.words.split(",")[0] for hint in singles(eye)] == [
        "A single tile of walnut in beech",
        "A single tile of sapele in beech",
    ]


@given(grids("bws", most=7))
def test_every_mend_lays_at_least_one_cell_anew(pattern):
    for hint in hints_of(pattern):
        assert hint.mend.lay, hint.words
        assert mended(pattern, hint) != pattern


def test_a_slanting_line_of_single_tiles_becomes_steps_that_meet_edge_to_edge():
    line = grid("wbbbb bwbbb bbwbb bbbwb bbbbw")
    (hint,) = singles(line)
    assert "5 tiles of walnut meet their own only at a corner" in hint.words
    stepped = mended(line, hint)
    assert stepped == grid("wwbbb bwwbb bbwwb bbbww bbbww")
    assert not by_looking(stepped)


def test_a_tile_with_as_much_of_one_wood_as_of_another_goes_with_its_row():
    (hint,) = [one for one in singles(grid("ssss bbwb ssss")) if "walnut" in one.words]
    assert hint.cells == ((1, 2),) and hint.mend.lay[0].wood == "beech"


def test_one_cell_and_one_wood_have_no_single_tile():
    assert singles(grid("b")) == [] and singles(grid("bb bb")) == []


def test_woods_past_the_first_sorts_are_told_together():
    from planner.pattern import Pattern

    rows = [[f"wood-{r}" if c == 2 else "beech" for c in range(5)] if r % 2 else ["beech"] * 5 for r in range(40)]
    found = singles(Pattern.of(rows))
    assert len(found) == 9 and sum(len(hint.cells) for hint in found) == 20
    assert found[-1].words.startswith("12 single tiles of other woods")
