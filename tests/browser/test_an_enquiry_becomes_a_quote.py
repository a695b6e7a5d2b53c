"""An enquiry in the evening, a quote with two boards to choose from five minutes later: written, looked over, made, and
its paper opened; and two who write the same one."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.quotes.models import Quote, QuoteDraft
from shopapp.schedule.actions import add_sessions
from tests.support import work
from tests.support.browser import axe_findings, sideways

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def plans(owner, transactional_db):
    plan = work.kept(owner)
    work.may(owner, plan, "quote")
    add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})
    return plan, work.beside(owner, plan, quantity=2)


def test_an_enquiry_becomes_a_quote_with_two_boards_and_its_paper(open_page, plans):
    page = open_page("/quotes/", "phone")

    def press(role: str, name: str) -> None:
        page.get_by_role(role, name=name).first.tap()

    press("link", "Write a quote")
    page.get_by_label("What it is called").fill("Flag for the boathouse")
    page.get_by_label("For whom").fill("Wren Attwater")
    page.get_by_label("Wanted by").fill("2026-12-05")
    press("button", "Begin this quote")
    press("button", "Add a board")
    press("button", "Show them")
    for plan in plans:
        page.locator(f"#plan-{plan.pk}").tap()
    press("button", "Offer these")
    expect(page.get_by_text("if it is accepted by")).to_be_visible()
    expect(page.get_by_text("later than wanted").first).to_be_visible()
    page.get_by_label("Option 2, what it is called").fill("One of them")
    # What a price would do is told while it is typed: two boards at 150.00.
    page.get_by_label("Option 1, price of a board").fill("150")
    expect(page.locator(".option").first.locator(".in-all")).to_contain_text("300.00")
    assert axe_findings(page) == [] and not sideways(page)
    press("button", "Look it over")
    expect(page.get_by_role("heading", name="One of them")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    press("button", "Make this quote")
    expect(page.get_by_text("The paper is being made")).to_be_visible()
    run_waiting_tasks()
    link = page.get_by_role("link", name="Open the quote")
    expect(link).to_be_visible()
    paper = page.request.get(link.get_attribute("href"))
    assert paper.ok and paper.body().startswith(b"%PDF")
    assert not sideways(page)
    quote = Quote.objects.get()
    assert [option.label for option in quote.options.all()] == ["Flag", "One of them"]
    assert quote.there_by > quote.wanted_by


def test_of_two_who_write_the_same_quote_neither_loses_a_word(open_page, owner, plans):
    draft = work.draft(owner, *plans)
    # Chromium says on its console that the page came with 409.
    mine, theirs = (open_page(draft.get_absolute_url(), expect="409") for _ in range(2))
    theirs.get_by_label("Carriage").fill("15")
    theirs.get_by_label("A few words to them").fill("Theirs.")
    theirs.get_by_role("button", name="Keep it as it is now").click()
    expect(theirs.get_by_text("It is kept as it is now")).to_be_visible()

    mine.get_by_label("A few words to them").fill("Mine.")
    mine.get_by_label("What it is called", exact=True).fill("Flag and pennant")
    mine.get_by_role("button", name="Keep it as it is now").click()
    told = mine.get_by_role("alert")
    expect(told).to_contain_text("You both changed this")
    expect(told).to_contain_text("Theirs.")
    expect(mine.get_by_label("Carriage")).to_have_value("15.00")
    expect(mine.get_by_label("A few words to them")).to_have_value("Mine.")
    assert axe_findings(mine) == [] and not sideways(mine)
    mine.get_by_label("A few words to them").fill("Mine. Theirs.")
    mine.get_by_role("button", name="Keep it as it is now").click()
    expect(mine.get_by_text("It is kept as it is now")).to_be_visible()
    kept = QuoteDraft.objects.get()
    assert (kept.title, kept.words, kept.carriage) == ("Flag and pennant", "Mine. Theirs.", 15)
