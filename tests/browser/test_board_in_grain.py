"""A board is looked at before it is sawn: oiled and dry, near and from across the room, and saved as a picture."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.support import work
from tests.support.browser import axe_findings, sideways

LOADED = "img => img.complete && img.naturalWidth > 0"


@pytest.fixture
def plan(owner, transactional_db):
    return work.kept(owner)


@pytest.mark.parametrize("size", ["phone", "tablet"])
def test_a_finger_goes_through_the_looks_and_saves_one(open_page, plan, size):
    page = open_page(f"/plans/{plan.pk}/", size)
    page.get_by_role("link", name="Look closer").tap()
    board = page.locator(".in-grain img")
    page.wait_for_function(LOADED, arg=board.element_handle())
    near = board.get_attribute("alt")
    page.get_by_role("link", name="dry", exact=True).tap()
    page.get_by_text("estimated from the oiled colour").wait_for()
    page.get_by_role("link", name="8 m", exact=True).tap()
    page.get_by_text("What an eye 8 m away makes out").wait_for()
    page.wait_for_function(LOADED, arg=board.element_handle())
    assert "oiled" in near and "dry" in board.get_attribute("alt") and "8 metres" in board.get_attribute("alt")
    expect(page).to_have_url(re.compile(r"\?finish=dry&from=8$"))
    assert not sideways(page) and axe_findings(page) == []
    with page.expect_download() as saving:
        page.get_by_role("link", name="800 px wide").tap()
    assert saving.value.suggested_filename == "flag-drawing-1-dry-800.png"
    assert Image.open(io.BytesIO(saving.value.path().read_bytes())).width == 800
    # As the address says so, the page is the same when it is opened by itself.
    page.reload()
    assert page.locator(".switch [aria-current]").all_inner_texts() == ["dry", "8 m"]


def test_the_board_in_grain_lies_on_its_drawing_and_follows_what_is_typed(open_page, plan):
    page = open_page(f"/plans/reckon/{plan.design_id}/")
    img = page.locator("#board img")
    page.wait_for_function(LOADED, arg=img.element_handle())
    drawn, grown = (page.locator(f"#board .grown {one}").bounding_box() for one in ("svg", "img"))
    # Within a pixel or two: the drawing does not jump when the picture comes.
    assert all(abs(drawn[side] - grown[side]) < 3 for side in ("x", "y", "width", "height"))
    before = Image.open(io.BytesIO(img.screenshot()))
    page.get_by_label("Side borders, each").fill("90")
    page.wait_for_function("() => document.querySelector('#board img').src.includes('side_border=90')")
    page.wait_for_function(LOADED, arg=page.locator("#board img").element_handle())
    after = Image.open(io.BytesIO(page.locator("#board img").screenshot()))
    assert after.size != before.size and np.asarray(after).std() > 5
