"""A hand on the bench in a real browser: where cells lie on the page, and what was drawn there."""

from __future__ import annotations

from playwright.sync_api import Page, expect

ROWS = "#bench-form [name=pattern]"


def at_the_bench(page: Page) -> Page:
    """Wait until the bench has taken up what was drawn before and its numbers are in the page's own letters."""
    page.wait_for_selector("#bench-sheet[data-ready]")
    page.evaluate("document.fonts.ready")
    return page


def middle_of(page: Page, row: int, column: int) -> tuple[float, float]:
    """Of a cell counted from 1, in pixels of the page."""
    x, y = page.evaluate(
        "([r, c]) => document.getElementById('bench-sheet').bench.middleOf(r - 1, c - 1)", [row, column]
    )
    return x, y


def draw(page: Page, *cells: tuple[int, int]) -> None:
    """With the mouse from the first cell over the others."""
    page.mouse.move(*middle_of(page, *cells[0]))
    page.mouse.down()
    for cell in cells[1:]:
        page.mouse.move(*middle_of(page, *cell), steps=3)
    page.mouse.up()


def choose(page: Page, *words: str) -> None:
    """A verb or a plank, by its words."""
    for one in words:
        page.locator("label", has_text=one).first.click()


def wait_for_tile(page: Page, wide: str) -> None:
    """Until a tile is so wide on the page, as "> 40" or "=== 40"."""
    page.wait_for_function(
        f"""() => {{ const {{ bench }} = document.getElementById('bench-sheet');
                     return bench.middleOf(0, 1)[0] - bench.middleOf(0, 0)[0] {wide}; }}"""
    )


def wait_for_row(page: Page, row: int, words: str) -> None:
    """Until a row, counted from 1, lies so; for what is drawn past Playwright, which does not wait for it."""
    page.wait_for_function(
        "([at, words]) => document.getElementById('bench-sheet').bench.text().split('\\n')[at] === words",
        arg=[row - 1, words],
    )


def rows(page: Page) -> list[str]:
    """The drawing in the words it is kept in, a line a row, after a pause in drawing."""
    page.wait_for_function(
        """() => { const sheet = document.getElementById('bench-sheet').bench;
                   return document.querySelector('#bench-form [name=pattern]').value === sheet.text(); }"""
    )
    return page.locator(ROWS).input_value().splitlines()


def looked_over(page: Page) -> None:
    """Until the shop has looked at what lies there now."""
    rows(page)
    expect(page.locator("#bench-hints ul[aria-busy]")).to_have_count(0)


def expect_said(page: Page, words: str) -> None:
    expect(page.locator("#status")).to_contain_text(words)


def written(page: Page) -> None:
    """Until the device's journal holds every step there is."""
    page.wait_for_function("() => document.getElementById('bench-sheet').bench.isWritten()")
