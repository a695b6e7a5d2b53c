"""The bench by keys alone: one stop of the Tab key, a cursor that is seen and heard, every verb on a letter."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.bench import at_the_bench, expect_said, rows
from tests.support.browser import tab_walk
from tests.support.shop import add_woods, design_with_pattern


@pytest.fixture
def bench(open_page, owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return at_the_bench(open_page(f"/designs/{design_with_pattern(owner).pk}/bench/"))


def press(bench, *keys: str) -> None:
    for key in keys:
        bench.keyboard.press(key)


def plank(bench, name: str) -> str:
    """The key of a plank, as the page shows it."""
    return bench.locator("#bench-planks li", has_text=name).locator("kbd").inner_text()


@pytest.fixture
def sheet(bench):
    bench.locator("#bench-sheet").focus()
    return bench


def test_the_cursor_says_where_it_is_and_which_wood_lies_there(sheet):
    press(sheet, "ArrowDown", "ArrowRight")
    expect_said(sheet, "row 2, column 2, Black walnut")
    press(sheet, "End")
    expect_said(sheet, "row 2, column 6, background")
    press(sheet, "Control+End")
    expect_said(sheet, "row 6, column 6, background")
    press(sheet, "Home", "PageUp")
    expect_said(sheet, "row 1, column 1, background")


def test_space_and_enter_lay_one_tile_and_shift_with_the_arrows_a_stroke(sheet):
    press(sheet, plank(sheet, "Padauk"), "Space", "ArrowRight", "ArrowRight", "Enter")
    assert rows(sheet)[0] == "1 padauk, 1 -, 1 padauk, 3 -"
    press(sheet, "Home", "Shift+ArrowRight", "Shift+ArrowRight", "Shift+End")
    assert rows(sheet)[0] == "6 padauk"
    press(sheet, "Delete")
    assert rows(sheet)[0] == "5 padauk, 1 -"


def test_a_stroke_laid_with_shift_held_is_one_step(sheet):
    sheet.keyboard.press(plank(sheet, "Padauk"))
    sheet.keyboard.down("Shift")
    press(sheet, "ArrowRight", "ArrowRight", "ArrowRight")
    sheet.keyboard.up("Shift")
    expect_said(sheet, "4 tiles of Padauk laid")
    assert rows(sheet)[0] == "4 padauk, 2 -"
    press(sheet, "Control+z")
    expect_said(sheet, "Taken back")
    assert rows(sheet)[0] == "6 -"
    press(sheet, "Control+Shift+z")
    assert rows(sheet)[0] == "4 padauk, 2 -"


def test_a_frame_takes_two_presses_and_escape_lets_go(sheet):
    before = rows(sheet)
    press(sheet, plank(sheet, "Padauk"), "f", "Enter", "Control+End", "Escape")
    assert rows(sheet) == before
    press(sheet, "Control+Home", "Enter", "Control+End", "Enter")
    assert rows(sheet)[0] == rows(sheet)[5] == "6 padauk"


def test_filling_swapping_picking_and_mirroring_have_letters(sheet):
    press(sheet, plank(sheet, "Padauk"), "i", "Enter")
    assert rows(sheet)[0] == "6 padauk"
    press(sheet, plank(sheet, "Yellow birch"), "s", "Enter")
    assert rows(sheet)[0] == "6 birch-yellow"
    press(sheet, plank(sheet, "Padauk"), "p", "Enter")
    expect(sheet.get_by_role("radio", name="Yellow birch")).to_be_checked()
    press(sheet, "0", "l", "h", "Enter")
    assert rows(sheet)[0] == "1 -, 4 birch-yellow, 1 -"


def test_a_part_is_marked_lifted_moved_and_laid_by_keys(sheet):
    press(sheet, plank(sheet, "Padauk"), "Space", "m")
    press(sheet, "Shift+ArrowRight", "Enter", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowDown")
    expect_said(sheet, "In hand at row 6, column 1")
    press(sheet, "Enter")
    drawn = rows(sheet)
    assert drawn[0] == "6 -" and drawn[5] == "1 padauk, 5 -"


def test_copying_and_laying_the_copy_by_keys(sheet):
    press(sheet, plank(sheet, "Padauk"), "Space", "m", "Shift+ArrowRight", "Control+c")
    press(sheet, "Control+End", "Control+v", "Enter")
    drawn = rows(sheet)
    assert drawn[0] == "1 padauk, 5 -" and drawn[5] == "4 -, 1 padauk, 1 -"


def test_the_tab_key_passes_the_drawing_in_one_stop_and_reaches_every_control(bench):
    bench.evaluate("document.querySelectorAll('#bench details').forEach(d => d.open = true)")
    stops = tab_walk(bench)
    assert all(stop["seen"] for stop in stops)
    words = [stop["words"] for stop in stops]
    assert words.count("bench-sheet") == 1
    for button in ("Undo", "Redo", "Closer", "Further", "Whole", "Copy", "Lay the copy", "Turn", "Turn over", "Trim"):
        assert button in words
    places = [stop["place"] for stop in stops]
    assert places == sorted(places)


def test_the_letters_are_listed_and_open_at_a_question_mark(sheet):
    press(sheet, "Shift+?")
    expect(sheet.get_by_text("move the cursor, or what is in hand")).to_be_visible()


def test_the_cursor_is_seen_on_the_drawing(bench):
    """The sheet over the wood shows nothing but the cursor and its numbers; it moves when the cursor does."""
    shown = "() => document.querySelectorAll('#bench-sheet canvas')[2].toDataURL()"
    bench.locator("#bench-sheet").focus()
    bench.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    before = bench.evaluate(shown)
    press(bench, "ArrowDown")
    bench.wait_for_function(f"was => ({shown})() !== was", arg=before)
