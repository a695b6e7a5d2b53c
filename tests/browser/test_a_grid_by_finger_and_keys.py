"""The grid over its picture, corrected by finger on a phone, by keys alone, by mouse, and without scripts."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from tests.support.browser import axe_findings, sideways
from tests.support.grids import BOAT
from tests.support.shop import add_woods, picture, upload


@pytest.fixture
def address(owner, transactional_db):
    """The boat, eight rows of seven, twelve pixels a square."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    bring_picture(who=owner, name="Boat", upload=upload(picture(BOAT, 12)))
    run_waiting_tasks()
    return f"/designs/{Design.objects.get().pk}/grid/"


def middle_of(page, row: int, column: int) -> tuple[float, float]:
    """Where a square of the boat is seen in the window."""
    page.locator("#sheet").scroll_into_view_if_needed()
    box = page.locator("#sheet").bounding_box()
    return box["x"] + (column + 0.5) / 7 * box["width"], box["y"] + (row + 0.5) / 8 * box["height"]


def test_on_a_phone_a_finger_corrects_a_row_nudges_taps_takes_back_and_keeps(open_page, address):
    page = open_page(address, "phone")
    size, changes = page.locator("#size"), page.locator("#changes")
    page.get_by_role("button", name="One row fewer at the top").tap()
    expect(size).to_contain_text("7 rows of 7")
    page.get_by_role("button", name="One row more at the top").tap()
    expect(size).to_contain_text("8 rows of 7")
    page.get_by_role("button", name="Lines to the right").tap()
    expect(changes).to_have_text("Moved 1 px to the right.")
    page.get_by_role("button", name="Take back").tap()
    expect(changes).to_be_empty()
    page.touchscreen.tap(*middle_of(page, 5, 3))
    expect(changes).to_have_text("Background changed at row 6, column 4.")
    expect(page.locator("#background")).to_contain_text("of 56 squares are background")
    assert sideways(page) == 0
    page.get_by_role("button", name="Keep this grid").tap()
    expect(page.get_by_text("Grid 1 is kept")).to_be_visible()
    assert KeptGrid.objects.get().changes == ["background changed at row 6, column 4"]


def test_every_target_around_the_picture_is_wide_enough_for_a_finger(open_page, address):
    page = open_page(address, "phone")
    for button in page.locator(".confirm button:visible, .keep-bar button:visible").all():
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= 44, button.inner_text()


def test_two_fingers_zoom_and_a_tap_still_finds_its_square(open_page, address):
    page = open_page(address, "phone")
    before = page.locator("#sheet").bounding_box()["width"]
    page.locator("#view").scroll_into_view_if_needed()
    # Playwright has no second finger; the browser itself is asked for two.
    box = page.locator("#view").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    fingers = page.context.new_cdp_session(page)

    def touch(kind: str, *apart: float) -> None:
        points = [{"x": x + side * far, "y": y} for far in apart for side in (-1, 1)]
        fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", 30)
    for far in (40, 60, 90):
        touch("touchMove", far)
    touch("touchEnd")
    expect(page.locator("#zoomed")).to_have_text(re.compile(r"\d+ %"))
    assert page.locator("#sheet").bounding_box()["width"] > 2 * before
    # What lay between the fingers still does: the middle of the picture, between its fourth and fifth row.
    page.touchscreen.tap(x, y - 4)
    expect(page.locator("#changes")).to_contain_text("Background changed at row 4, column 4")


def test_by_keys_alone_the_lines_are_moved_a_square_is_set_aside_and_the_grid_kept(open_page, address):
    page = open_page(address)
    page.get_by_role("button", name="One column more at the right").press("Enter")
    expect(page.locator("#size")).to_contain_text("8 rows of 8")
    page.get_by_role("button", name="Take back").press("Space")
    expect(page.locator("#size")).to_contain_text("8 rows of 7")
    arrows = page.get_by_role("button", name="Lines to the left")
    arrows.press("ArrowDown")
    arrows.press("Shift+ArrowRight")
    expect(page.locator("#changes")).to_have_text("Moved 0.25 px to the right and 1 px down.")
    expect(arrows).to_be_focused()
    page.get_by_label("Move", exact=True).select_option(label="the right edge")
    arrows.press("ArrowRight")
    expect(page.locator("#changes")).to_contain_text("right edge moved 1 px to the right")
    page.keyboard.press("Control+z")
    expect(page.locator("#changes")).not_to_contain_text("right edge")
    squares = page.locator("#squares")
    squares.focus()
    for key in ("ArrowDown",) * 5 + ("ArrowRight",) * 2:
        page.keyboard.press(key)
    expect(page.locator("#status")).to_have_text("Row 6 of 8, column 3 of 7: kept")
    page.keyboard.press("Space")
    expect(page.locator("#status")).to_contain_text("background changed at row 6, column 3")
    expect(squares).to_be_focused()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#status")).to_have_text("Row 6 of 8, column 3 of 7: background")
    page.get_by_role("button", name="Keep this grid").press("Enter")
    expect(page.get_by_text("Grid 1 is kept")).to_be_visible()
    assert KeptGrid.objects.get().changes[0] == "moved 0.25 px to the right and 1 px down"


def test_presses_faster_than_the_answers_are_all_counted(open_page, address):
    page = open_page(address)
    arrows = page.get_by_role("button", name="Lines to the left")
    for _ in range(12):
        arrows.press("ArrowLeft", no_wait_after=True)
    expect(page.locator("#changes")).to_have_text("Moved 12 px to the left.")


def test_another_reading_is_one_press_away_and_a_reload_loses_nothing(open_page, address):
    design = Design.objects.get()
    half = {
        "kind": "scaled",
        "rows": 16,
        "columns": 14,
        "lattice": {**design.reading["lattice"], "rows": 16, "columns": 14},
    }
    Design.objects.update(reading={**design.reading, "others": [half], "sure": False})
    page = open_page(address)
    expect(page.get_by_text("Not sure.")).to_be_visible()
    page.get_by_role("button", name="16 rows of 14, 6 px a square").click()
    expect(page.locator("#size")).to_contain_text("16 rows of 14")
    page.reload()
    expect(page.locator("#size")).to_contain_text("16 rows of 14")
    expect(page.locator("#changes")).to_have_text("Another reading taken, 16 rows of 14.")
    page.get_by_role("button", name="Begin again").click()
    expect(page.locator("#size")).to_contain_text("8 rows of 7")
    expect(page.get_by_role("button", name="The grid is right")).to_be_visible()


def test_the_picture_is_zoomed_by_keys_and_moved_with_the_mouse_without_a_tap(open_page, address):
    page = open_page(address)
    view = page.locator("#view")
    view.focus()
    for _ in range(3):
        page.keyboard.press("+")
    expect(page.locator("#zoomed")).to_have_text("338 %")
    box = view.bounding_box()
    start = page.evaluate("document.getElementById('view').scrollLeft")
    page.mouse.move(box["x"] + 200, box["y"] + 100)
    page.mouse.down()
    page.mouse.move(box["x"] + 120, box["y"] + 100, steps=4)
    page.mouse.up()
    page.wait_for_function("to => Math.abs(document.getElementById('view').scrollLeft - to) <= 2", arg=start + 80)
    expect(page.locator("#changes")).to_be_empty()
    page.keyboard.press("0")
    expect(page.locator("#zoomed")).to_have_text("whole")


def test_a_lost_connection_is_told_and_the_corrections_stay(open_page, address):
    page = open_page(address, expect="ERR_FAILED")
    page.get_by_role("button", name="One row fewer at the top").click()
    expect(page.locator("#size")).to_contain_text("7 rows of 7")
    page.route("**/grid/live/**", lambda route: route.abort())
    page.get_by_role("button", name="One row fewer at the bottom").click()
    expect(page.locator("#trouble-now")).to_contain_text("could not be reached")
    page.unroute("**/grid/live/**")
    page.get_by_role("button", name="One row fewer at the bottom").click()
    expect(page.locator("#size")).to_contain_text("6 rows of 7")
    expect(page.locator("#trouble-now")).to_be_hidden()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_while_a_grid_is_corrected(open_page, address, scheme):
    page = open_page(address, "phone", scheme)
    page.get_by_role("button", name="Larger").tap()
    page.touchscreen.tap(*middle_of(page, 5, 3))
    expect(page.locator("#changes")).to_contain_text("Background changed")
    page.locator("#squares").focus()
    assert axe_findings(page) == []


def test_without_scripts_every_correction_is_a_page(chromium, live_server, fonts, owner, address):
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("#id_username", "mara")
    page.fill("#id_password", "a long enough password")
    page.click("main button")
    page.goto(address)
    page.get_by_role("button", name="One row fewer at the top").click()
    page.get_by_label("by", exact=True).select_option("quarter")
    page.get_by_role("button", name="Lines up").click()
    page.locator("details.by-number summary").click()
    page.get_by_label("Row, from the top").fill("5")
    page.get_by_label("Column, from the left").fill("3")
    page.get_by_role("button", name="Change background there").click()
    expect(page.locator("#changes")).to_have_text(
        "One row fewer at the top; moved 0.25 px up; background changed at row 5, column 3."
    )
    page.get_by_role("button", name="Take back").click()
    page.get_by_role("button", name="Keep this grid").click()
    expect(page.get_by_text("Grid 1 is kept")).to_be_visible()
    assert KeptGrid.objects.get().changes == ["one row fewer at the top", "moved 0.25 px up"]
    context.close()
