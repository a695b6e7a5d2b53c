"""What a hand draws at the bench with mouse, finger and pencil."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.bench import at_the_bench, choose, draw, expect_said, middle_of, rows, wait_for_tile
from tests.support.shop import add_woods, design_with_pattern

# Six rows of six: a frame of four by four cells on background, woods as suggested.
EDGE = "6 -"


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return f"/designs/{design_with_pattern(owner).pk}/bench/"


@pytest.fixture
def bench(open_page, address):
    return at_the_bench(open_page(address))


def test_a_stroke_of_the_mouse_lays_tiles_without_a_gap_and_is_taken_back_and_done_again(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 6))
    expect_said(bench, "6 tiles of Padauk laid")
    assert rows(bench)[0] == "6 padauk"
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == EDGE
    bench.get_by_role("button", name="Redo").click()
    assert rows(bench)[0] == "6 padauk"


def test_a_hand_that_skips_cells_lays_what_lies_between(bench):
    choose(bench, "Padauk")
    bench.mouse.move(*middle_of(bench, 6, 1))
    bench.mouse.down()
    bench.mouse.move(*middle_of(bench, 6, 6))
    bench.mouse.up()
    assert rows(bench)[5] == "6 padauk"


def test_a_plank_of_nothing_takes_tiles_off(bench):
    was = rows(bench)[1]
    assert was.startswith("1 -") and was != EDGE
    choose(bench, "Nothing: take tiles off")
    draw(bench, (2, 1), (2, 6))
    assert rows(bench)[1] == EDGE


def test_a_line_a_frame_and_a_block_are_drawn_from_corner_to_corner(bench):
    choose(bench, "Padauk", "Draw a line")
    draw(bench, (1, 1), (3, 3))
    assert rows(bench)[0] == "1 padauk, 5 -"
    assert rows(bench)[2].startswith("1 -, ") and ", 1 padauk, " in rows(bench)[2]
    choose(bench, "Yellow birch", "Frame")
    draw(bench, (1, 1), (6, 6))
    drawn = rows(bench)
    assert drawn[0] == drawn[5] == "6 birch-yellow"
    assert all(row.startswith("1 birch-yellow, ") and row.endswith(", 1 birch-yellow") for row in drawn[1:5])
    choose(bench, "Black walnut", "Lay a block")
    draw(bench, (2, 5), (5, 2))
    assert rows(bench)[1:5] == ["1 birch-yellow, 4 walnut-black, 1 birch-yellow"] * 4


def test_filling_and_swapping_change_what_belongs_together(bench):
    choose(bench, "Padauk", "Fill")
    draw(bench, (1, 1))
    drawn = rows(bench)
    assert drawn[0] == drawn[5] == "6 padauk"
    assert all(row.startswith("1 padauk, ") for row in drawn[1:5])
    choose(bench, "Yellow birch", "Swap woods")
    draw(bench, (6, 6))
    assert "padauk" not in " ".join(rows(bench))
    assert rows(bench)[0] == "6 birch-yellow"


def test_a_wood_is_picked_up_from_the_drawing_and_laid_next(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1))
    choose(bench, "Nothing: take tiles off", "Pick up wood")
    draw(bench, (1, 1))
    expect(bench.get_by_role("radio", name="Padauk")).to_be_checked()
    draw(bench, (1, 2))
    assert rows(bench)[0] == "2 padauk, 4 -"


def test_mirrored_laying_goes_left_and_right_and_top_and_bottom(bench):
    bench.get_by_label("Left and right").check()
    bench.get_by_label("Top and bottom").check()
    choose(bench, "Padauk")
    draw(bench, (1, 1))
    drawn = rows(bench)
    assert drawn[0] == drawn[5] == "1 padauk, 4 -, 1 padauk"
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == rows(bench)[5] == EDGE


def test_a_marked_part_is_lifted_moved_and_laid_as_one_step(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 2))
    choose(bench, "Lift and move")
    draw(bench, (1, 1), (1, 2))
    draw(bench, (1, 1), (6, 4))
    bench.get_by_role("button", name="Lay it here").click()
    drawn = rows(bench)
    assert drawn[0] == EDGE and drawn[5] == "3 -, 2 padauk, 1 -"
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == "2 padauk, 4 -" and rows(bench)[5] == EDGE


def test_what_is_lifted_can_be_put_back(bench):
    before = rows(bench)
    choose(bench, "Lift and move")
    draw(bench, (2, 2), (4, 4))
    draw(bench, (2, 2), (1, 1))
    bench.get_by_role("button", name="Put it back").click()
    assert rows(bench) == before


def test_a_copy_is_laid_elsewhere_and_the_first_stays(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 2))
    choose(bench, "Lift and move")
    draw(bench, (1, 1), (1, 2))
    bench.get_by_role("button", name="Copy", exact=True).click()
    bench.get_by_role("button", name="Lay the copy").click()
    draw(bench, (1, 2), (6, 5))
    bench.get_by_role("button", name="Lay it here").click()
    drawn = rows(bench)
    assert drawn[0] == "2 padauk, 4 -" and drawn[5] == "4 -, 2 padauk"


def test_a_drawing_is_trimmed_grown_turned_and_turned_over_and_all_of_it_taken_back(bench):
    before = rows(bench)
    bench.get_by_role("button", name="Trim").click()
    assert [len(rows(bench)), rows(bench)[0].split()[0]] == [4, "4"]
    bench.get_by_text("Add rows or columns").click()
    bench.get_by_label("How many").fill("2")
    bench.get_by_label("Where").select_option("rows below")
    bench.get_by_role("button", name="Add", exact=True).click()
    assert rows(bench)[4:] == ["4 -", "4 -"]
    bench.get_by_role("button", name="Turn", exact=True).click()
    assert len(rows(bench)) == 4 and all(row.startswith("2 -, ") for row in rows(bench))
    bench.get_by_role("button", name="Turn over").click()
    assert all(row.endswith(", 2 -") for row in rows(bench))
    for _ in range(4):
        bench.get_by_role("button", name="Undo").click()
    assert rows(bench) == before


def test_a_side_longer_than_the_limit_is_refused_in_words_and_changes_nothing(bench):
    before = rows(bench)
    bench.get_by_text("Add rows or columns").click()
    bench.get_by_label("How many").fill("195")
    bench.get_by_role("button", name="Add", exact=True).click()
    expect(bench.locator("#bench-grow-error")).to_have_text("No side of a drawing is longer than 200 tiles. Add fewer.")
    assert rows(bench) == before


def test_whoever_cannot_drag_touches_both_ends(bench):
    choose(bench, "Padauk", "Frame")
    draw(bench, (1, 1))
    expect_said(bench, "Begun here")
    assert rows(bench)[0] == EDGE
    draw(bench, (6, 6))
    assert rows(bench)[0] == rows(bench)[5] == "6 padauk"


def test_a_piece_is_moved_by_touches_alone(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 2))
    choose(bench, "Lift and move")
    draw(bench, (1, 1))
    draw(bench, (1, 2))
    draw(bench, (1, 2))
    draw(bench, (6, 5))
    bench.get_by_role("button", name="Lay it here").click()
    drawn = rows(bench)
    assert drawn[0] == EDGE and drawn[5] == "3 -, 2 padauk, 1 -"


def test_looking_around_brings_a_place_closer_and_lays_nothing(bench):
    before = rows(bench)
    tile = middle_of(bench, 1, 2)[0] - middle_of(bench, 1, 1)[0]
    choose(bench, "Look around")
    draw(bench, (2, 2))
    wait_for_tile(bench, f"> {tile}")
    draw(bench, (2, 2), (3, 3))
    assert rows(bench) == before


def test_a_marked_part_is_all_that_a_trim_leaves(bench):
    before = rows(bench)
    choose(bench, "Lift and move")
    draw(bench, (2, 2), (3, 4))
    bench.get_by_role("button", name="Trim").click()
    assert len(rows(bench)) == 2
    assert sum(int(run.split()[0]) for run in rows(bench)[0].split(", ")) == 3
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench) == before
