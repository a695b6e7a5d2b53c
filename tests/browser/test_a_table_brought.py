"""Cells from a spreadsheet are pasted, mended where they are wrong, looked at and booked; and go out again."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.lumber.models import Delivery, StockPiece
from tests.support.browser import axe_findings, sideways
from tests.support.rack import supplier
from tests.support.shop import add_woods

CELLS = (
    "Wood\tThickness\tWidth mm\tLength mm\tPrice\tPlace\n"
    "Black walnut\t5/4\t182\t2440\t14,50\tloft\n"
    "Padauk\t4/4\t1,234\t1830\t19\tloft\n"
    "Padauk\t4/4\t150\t1830\t0\t\n"
)


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_a_pasted_table_is_mended_looked_at_and_booked(open_page, transactional_db, size, tmp_path):
    add_woods("walnut-black", "padauk")
    supplier("Millrace Yard")
    page = open_page("/woods/buy/", size, expect="Failed to load resource")
    page.get_by_role("link", name="From a spreadsheet").click()
    page.get_by_text("The delivery").click()
    page.get_by_label("Bought from").select_option(label="Millrace Yard")
    cells = page.get_by_label("The cells, with the names of the columns in the first line")
    cells.fill(CELLS)
    page.get_by_role("button", name="Show it line by line").click()
    expect(page.get_by_text("Line 3, “Width mm”: “1,234” could be read two ways").first).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    cells.fill(CELLS.replace("1,234", "123.4"))
    page.get_by_role("button", name="Show it line by line").click()
    expect(page.get_by_role("heading", name="Is this what came?")).to_be_visible()
    expect(page.get_by_text("Line 4 cost nothing.")).to_be_visible()
    page.get_by_label("They were gifts").check()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Book this delivery").click()
    expect(page.get_by_text("Chalk each board’s mark on it.")).to_be_visible()
    assert list(StockPiece.objects.order_by("pk").values_list("mark", "place")) == [
        ("W1", "loft"), ("P2", "loft"), ("P3", ""),
    ]  # fmt: skip

    with page.expect_download() as coming:
        page.get_by_role("link", name="This delivery as a table (CSV)").click()
    file = tmp_path / "again.csv"
    coming.value.save_as(file)
    page.goto("/woods/buy/table/")
    page.get_by_label("Or a CSV file").set_input_files(str(file))
    page.get_by_role("button", name="Show it line by line").click()
    expect(page.get_by_text("already. Book this one only if it is another.")).to_be_visible()
    assert Delivery.objects.count() == 1
