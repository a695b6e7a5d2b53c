"""A sale on a phone: a deposit invoice paid in two parts, the rest, and a credit note for what was wrong."""

from __future__ import annotations

from decimal import Decimal

from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.payments.actions import expect as owed
from shopapp.payments.balances import balances_of
from shopapp.payments.deals import DealLine
from shopapp.payments.models import CreditNote, Invoice
from shopapp.workshop.models import Workshop
from tests.support.browser import axe_findings, sideways
from tests.support.money import credited, deal, invoiced, paid


def test_a_sale_is_invoiced_paid_in_parts_and_put_right(open_page, owner):
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Decimal("0.2"), "pay_to": "Creek Bank"})
    page = open_page("/jobs/", "phone", expect="422")
    seen = []

    def press(role: str, name: str) -> None:
        page.get_by_role(role, name=name, exact=True).tap()

    def look() -> None:
        seen.append(page.url)
        assert axe_findings(page) == [] and not sideways(page), page.url

    press("link", "Invoices")
    press("link", "Write a sale down")
    page.get_by_label("For whom").fill("Wren Attwater")
    page.get_by_label("What it is called").fill("Heron over the stove")
    page.get_by_label("Deposit").fill("50")
    line = page.get_by_role("group", name="Line 1")
    line.get_by_label("What it is").fill("Heron, a board for the wall")
    line.get_by_label("Each").fill("379.00")
    press("button", "Another line")
    # What was typed is there, and there is room for more.
    expect(page.get_by_role("group", name="Line 4")).to_be_visible()
    expect(line.get_by_label("Each")).to_have_value("379.00")
    second = page.get_by_role("group", name="Line 2")
    second.get_by_label("What it is").fill("Carriage")
    second.get_by_label("Each").fill("fourteen")
    press("button", "Write it down")
    expect(page.locator("#error-summary")).to_be_focused()
    look()
    second.get_by_label("Each").fill("14")
    press("button", "Write it down")

    expect(page.get_by_text("Here is its invoice to write")).to_be_visible()
    expect(page.get_by_role("row", name="To pay")).to_contain_text("€\u00a0196.50")
    look()
    press("button", "Issue it")
    expect(page.get_by_text("The paper is being made")).to_be_visible()
    run_waiting_tasks()
    link = page.get_by_role("link", name="Open the paper")
    expect(link).to_be_visible()
    paper = page.request.get(link.get_attribute("href"))
    assert paper.ok and paper.body().startswith(b"%PDF")

    press("link", "Write down a payment")
    expect(page.get_by_label("How much")).to_have_value("196.50")
    page.get_by_label("How much").fill("100")
    page.get_by_label("How", exact=True).select_option(label="cash")
    look()
    press("button", "Write it down")
    expect(page.get_by_text("paid in part")).to_be_visible()
    press("link", "Write down a payment")
    # A slip of the hand is asked about, and mended.
    page.get_by_label("How much").fill("965.0")
    press("button", "Write it down")
    expect(page.get_by_text("more.", exact=False).first).to_be_visible()
    expect(page.get_by_label("So much came in, more than is open")).to_be_visible()
    look()
    page.get_by_label("How much").fill("96.50")
    press("button", "Write it down")
    expect(page.locator("dd.big")).to_have_text("paid")

    press("link", "Write the invoice for the rest")
    expect(page.get_by_text("is taken off: €\u00a0196.50")).to_be_visible()
    # Another price is shown before anything is issued.
    page.get_by_role("group", name="Line 1").get_by_label("Each").fill("399.00")
    press("button", "Issue it")
    expect(page.get_by_role("row", name="To pay")).to_contain_text("€\u00a0216.50")
    look()
    press("button", "Issue it")
    expect(page.get_by_text("is issued, and its paper follows")).to_be_visible()
    look()

    press("link", "It is wrong: credit it")
    page.get_by_label("How much of it").fill("20")
    page.get_by_label("Why").fill("379.00 was agreed, not 399.00.")
    look()
    press("button", "Issue the credit note")
    expect(page.get_by_text("The paper is being made")).to_be_visible()
    run_waiting_tasks()
    expect(page.get_by_role("link", name="Open the paper")).to_be_visible()
    look()

    deposit, rest = balances_of(Invoice.objects.order_by("number"))
    assert (deposit.open, deposit.paid) == (0, Decimal("196.50"))
    assert (rest.invoice.gross, rest.open) == (Decimal("216.50"), Decimal("196.50"))
    assert CreditNote.objects.get().tax_sum == Decimal("3.33")

    page.set_viewport_size({"width": 1366, "height": 768})
    for path in ("/payments/", "/payments/owed/", *(row.get_absolute_url() for row in Invoice.objects.all())):
        page.goto(path)
        look()
    assert len(seen) > 10


def test_names_that_are_one_long_word_push_no_page_of_money_sideways(open_page, owner):
    long = "W" * 80
    account = owed(
        owner, deal(key="sale 1", label=long, for_whom=long, lines=(DealLine("W" * 200, 9999, Decimal(999)),))
    )
    deposit = invoiced(owner, account, "deposit", address="W" * 400, words="W" * 600)
    paid(owner, deposit, "1", note="W" * 200)
    note = credited(owner, deposit, "1", "W" * 300)
    page = open_page("/payments/", "narrow")
    found = []
    for path in (
        "/payments/", "/payments/owed/", account.get_absolute_url(), deposit.get_absolute_url(),
        note.get_absolute_url(), f"/payments/{deposit.pk}/pay/", f"/payments/{deposit.pk}/credit/",
        f"/payments/new/?for={account.asks_for}",
    ):  # fmt: skip
        page.goto(path)
        if sideways(page):
            found.append((path, sideways(page)))
    assert found == []
