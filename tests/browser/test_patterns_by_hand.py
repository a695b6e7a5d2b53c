"""A grid pasted, its marks given woods, kept, compared, taken out as a file and brought in again, in a browser."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.designs.models import PatternVersion
from tests.support.browser import axe_findings, sideways
from tests.support.shop import add_woods

GRID = "......\n.####.\n.#@@#.\n.####.\n......"


@pytest.mark.parametrize("size", ["laptop", "phone"])
def test_a_pasted_grid_becomes_a_drawing_and_goes_out_and_in_again(open_page, tmp_path, size):
    add_woods("sycamore", "walnut-black", "padauk")
    page = open_page("/designs/", size)

    def press(role: str, name: str) -> None:
        target = page.get_by_role(role, name=name)
        target.click() if size == "laptop" else target.tap()

    press("link", "bring in a pattern")
    page.get_by_label("Name").fill("Buckle")
    page.get_by_label("Or its rows, pasted").fill(GRID)
    press("button", "Read it")
    expect(page.get_by_text("Read as 5 rows of 6, one letter a cell.")).to_be_visible()
    assert axe_findings(page) == [] and sideways(page) == 0
    page.get_by_label("“#”").select_option(label="Black walnut")
    page.get_by_label("“@”").select_option(label="Padauk")
    press("button", "Keep it as a drawing")
    expect(page.get_by_role("heading", name="Buckle, drawing 1")).to_be_visible()
    kept = PatternVersion.objects.get()

    page.get_by_label("Name of this drawing").fill("As pasted")
    press("button", "Name it")
    expect(page.get_by_role("heading", name="Buckle, drawing 1, As pasted")).to_be_visible()
    files = {}
    for words in ("PNG, one pixel a tile", "JSON that explains itself", "Rows as text"):
        with page.expect_download() as coming:
            press("link", words)
        files[words] = tmp_path / coming.value.suggested_filename
        coming.value.save_as(files[words])
    for file in files.values():
        page.goto("/designs/")
        press("link", "Buckle")
        press("link", "Bring in a pattern as another drawing")
        page.get_by_label("A file").set_input_files(file)
        press("button", "Read it")
        expect(page.get_by_text("is kept.")).to_be_visible()
    brought = PatternVersion.objects.order_by("number")
    assert [version.pattern for version in brought] == [kept.pattern] * 4

    page.get_by_label("Compare with").select_option(label="Drawing 2")
    press("button", "Show what differs")
    expect(page.get_by_text("The two are alike, tile for tile.")).to_be_visible()
