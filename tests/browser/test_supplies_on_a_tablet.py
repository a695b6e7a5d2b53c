"""With gluey hands: a consumable is added, bought, used and the slip of the finger undone."""

from __future__ import annotations

from decimal import Decimal

from playwright.sync_api import expect

from shopapp.lumber.models import Supply
from shopapp.lumber.supplies.checks import supplies_that_are_not_their_entries
from tests.support.browser import axe_findings, sideways


def test_oil_is_bought_used_and_a_slip_undone(open_page, transactional_db):
    page = open_page("/woods/supplies/", "tablet", expect="422")
    page.get_by_role("link", name="Add a consumable").tap()
    page.get_by_label("It is called").fill("Hard oil")
    page.get_by_label("It is", exact=True).select_option("finish")
    page.get_by_label("Time to buy below").fill("250")
    page.get_by_role("button", name="Add it").tap()
    page.get_by_text("More was bought").tap()
    page.locator("#buy_amount").fill("1000")
    page.get_by_label("It cost in all").fill("38")
    page.get_by_role("button", name="Put it in the book").tap()
    expect(page.get_by_role("status").filter(has_text="1000 ml of Hard oil bought.")).to_be_visible()
    page.get_by_text("Some was used").tap()
    page.locator("#use_amount").fill("8000")
    page.get_by_role("button", name="Write it off").tap()
    expect(page.get_by_role("alert")).to_contain_text("Only 1000 is held")
    page.locator("#use_amount").fill("800")
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Write it off").tap()
    expect(page.get_by_text("Time to buy: less than 250 ml are left.")).to_be_visible()
    page.get_by_role("button", name="Undo this").tap()
    expect(page.get_by_text("Enough for now.")).to_be_visible()
    row = Supply.objects.get()
    assert (row.amount, row.worth) == (Decimal(1000), Decimal(38)) and supplies_that_are_not_their_entries() == []
