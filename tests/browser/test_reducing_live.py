"""A picture reduced to a grid: its cut dragged by finger and moved by keys, its shape kept, the grid seen at once."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from tests.designs.test_reducing_a_picture import scene
from tests.support.browser import axe_findings, sideways
from tests.support.shop import add_woods, upload


@pytest.fixture
def address(owner, transactional_db):
    """A picture of 600 by 400 pixels."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    bring_picture(who=owner, name="Disc", upload=upload(scene()))
    run_waiting_tasks()
    return f"/designs/{Design.objects.get().pk}/reduce/"


def cut(page) -> tuple[int, ...]:
    return tuple(int(page.locator(f"[name={name}]").input_value()) for name in ("left", "top", "width", "height"))


def test_rows_follow_columns_and_the_grid_is_seen_at_once(open_page, address):
    page = open_page(address)
    expect(page.locator("#reduced")).to_contain_text("32 rows of 48")
    page.get_by_label("Columns").fill("30")
    expect(page.get_by_label("Rows")).to_have_value("20")
    expect(page.locator("#reduced")).to_contain_text("20 rows of 30")
    expect(page.locator("#status")).to_contain_text("20 rows of 30")
    page.get_by_label("Keep the shape of the picture").uncheck()
    page.get_by_label("Rows").fill("30")
    expect(page.get_by_label("Columns")).to_have_value("30")
    expect(page.locator("#reduced")).to_contain_text("20 rows of 30 would keep its shape")
    page.get_by_label("Colours at most").fill("1")
    expect(page.locator("#reduced")).to_contain_text("Colours at most")
    expect(page.get_by_label("Colours at most")).to_have_value("1")


def test_a_corner_is_dragged_by_finger_and_the_grid_keeps_the_shape_of_the_cut(open_page, address):
    page = open_page(address, "phone")
    corner = page.get_by_role("button", name="Bottom right corner of the cut")
    corner.scroll_into_view_if_needed()
    box, sheet = corner.bounding_box(), page.locator("#cut").bounding_box()
    x, y = box["x"] + box["width"] - 6, box["y"] + box["height"] - 6
    finger = page.context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": a, "y": b} for a, b in points]})

    touch("touchStart", (x, y))
    for step in range(1, 5):
        touch("touchMove", (x - step * sheet["width"] / 8, y))
    # The finger rests before it is lifted: a flick would swallow the next tap.
    page.wait_for_timeout(200)
    touch("touchMove", (x - sheet["width"] / 2, y))
    touch("touchEnd")
    # Half as wide: the longer side, now the height, has the 48 squares, and the shape of the cut is kept.
    expect(page.locator("#reduced")).to_contain_text("48 rows of 36")
    left, top, width, height = cut(page)
    assert (left, top, height) == (0, 0, 400) and width == pytest.approx(300, abs=3)
    assert sideways(page) == 0
    page.get_by_role("button", name="Keep this grid").tap()
    expect(page.get_by_text("Grid 1 is kept")).to_be_visible()
    assert KeptGrid.objects.get().place["reduction"]["width"] == width


def test_the_cut_is_moved_by_keys_and_says_where_it_is(open_page, address):
    page = open_page(address)
    corner = page.get_by_role("button", name="Top left corner of the cut")
    corner.press("Shift+ArrowRight")
    corner.press("ArrowDown")
    assert cut(page) == (10, 1, 590, 399)
    expect(page.locator("#status")).to_contain_text("rows of")
    whole = page.get_by_role("button", name="The whole cut")
    whole.press("Shift+ArrowLeft")
    assert cut(page) == (0, 1, 590, 399)
    # It stops at the picture's edge.
    whole.press("ArrowLeft")
    whole.press("Shift+ArrowDown")
    assert cut(page) == (0, 1, 590, 399)
    expect(whole).to_be_focused()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_while_a_picture_is_reduced(open_page, address, scheme):
    page = open_page(address, "phone", scheme)
    page.get_by_label("Columns").fill("12")
    expect(page.locator("#reduced")).to_contain_text("8 rows of 12")
    assert axe_findings(page) == []
