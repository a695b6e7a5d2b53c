"""Along the rack with a phone: boards tapped and typed, one missing, one measured, the count closed and undone."""

from __future__ import annotations

from decimal import Decimal

from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.counting.checks import worth_of_what_was_not_found
from shopapp.lumber.models import LabelSheet, StockPiece, StocktakeCount
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.browser import axe_findings, sideways
from tests.support.rack import boards
from tests.support.shop import add_woods


def balanced() -> bool:
    return not (pieces_that_are_not_their_moves() or worth_that_came_or_went_unseen() or worth_of_what_was_not_found())


def test_a_stocktake_with_a_piece_missing_and_one_measured_is_closed_and_undone(open_page, owner, transactional_db):
    add_woods("walnut-black", "padauk")
    boards(owner, 3, price=Decimal(10), per="piece", place="loft")
    boards(owner, 1, wood="padauk", price=Decimal(25), per="piece")
    page = open_page("/woods/stocktakes/", "phone")
    page.get_by_role("button", name="Begin a stocktake").tap()
    progress = page.locator("#progress")
    expect(progress).to_contain_text("0 of 4 counted")
    assert axe_findings(page) == [] and not sideways(page)

    # Typed: the number is enough, and the field is ready for the next.
    mark = page.get_by_label("Mark or number")
    mark.fill("1")
    page.get_by_role("button", name="It is here", exact=True).tap()
    expect(page.get_by_text("W1 is counted: 27 × 150 × 2000 mm.")).to_be_visible()
    expect(progress).to_contain_text("1 of 4 counted")
    expect(page.get_by_label("Mark or number")).to_have_value("")
    mark.fill("77")
    mark.press("Enter")
    expect(page.get_by_text("No piece has the mark “77”")).to_be_visible()

    # Tapped.
    page.locator(".to-count li", has_text="P4").get_by_role("button").tap()
    expect(progress).to_contain_text("2 of 4 counted")

    # One is shorter than the book has it, one is not there.
    page.get_by_role("link", name="W2").tap()
    page.get_by_label("Length").fill("1850")
    page.get_by_role("button", name="It is here", exact=True).tap()
    expect(page.get_by_text("W2 is counted: measures 27 × 150 × 1850 mm.")).to_be_visible()
    page.get_by_role("link", name="W3").tap()
    expect(page.get_by_role("heading", name="Counting W3")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="It is not there").tap()
    expect(progress).to_contain_text("4 of 4 counted, 1 not found")

    page.get_by_role("link", name="Compare with the book").tap()
    expect(page.get_by_text("W3 was not found.")).to_be_visible()
    expect(page.get_by_text("W2 measures 27 × 150 × 1850 mm; the book has 27 × 150 × 2000 mm.")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Write this and close").tap()
    expect(page.get_by_text("The differences are in the book.")).to_be_visible()
    assert StockPiece.objects.get(mark="W3").state == "missing" and balanced()

    page.get_by_text("Closed in error?").tap()
    page.get_by_role("button", name="Undo this stocktake").tap()
    expect(page.get_by_text("every piece is as it was before")).to_be_visible()
    assert not StockPiece.objects.exclude(state="here").exists() and balanced()
    assert StockPiece.objects.get(mark="W2").length.mm == 2000


def test_a_count_that_did_not_get_through_is_said_and_pressed_once_more(open_page, owner, transactional_db):
    add_woods("walnut-black")
    boards(owner, 2)
    page = open_page("/woods/stocktakes/", "phone", expect="Failed to load resource")
    page.get_by_role("button", name="Begin a stocktake").tap()
    expect(page.locator("#progress")).to_be_visible()
    # The count gets through, its answer does not; the library that asks writes a line of its own on the console.
    page.evaluate("console.error = () => {}")
    page.route("**/count/", lambda route: (route.fetch(), route.abort("connectionreset")))
    page.locator(".to-count li", has_text="W1").get_by_role("button").tap()
    expect(page.get_by_text("W1 is not counted yet. Press once more.")).to_be_visible()
    page.unroute("**/count/")
    page.locator(".to-count li", has_text="W1").get_by_role("button").tap()
    expect(page.get_by_text("W1 was counted already.")).to_be_visible()
    expect(page.locator("#progress")).to_contain_text("1 of 2 counted")
    assert StocktakeCount.objects.get().edit_version == 1


def test_labels_of_the_newest_delivery_are_asked_for_and_opened(open_page, owner, transactional_db):
    add_woods("walnut-black")
    boards(owner, 3)
    page = open_page("/woods/rack/", "phone")
    page.get_by_role("link", name="Labels for these").tap()
    expect(page.get_by_role("heading", name="Labels to stick on")).to_be_visible()
    page.get_by_label("W2").uncheck()
    page.get_by_label("Begin at label").fill("4")
    page.get_by_label("Address of this shop").fill("https://shop.example")
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Make the labels").tap()
    expect(page.get_by_text("The labels are being made.")).to_be_visible()
    run_waiting_tasks()
    opened = page.get_by_role("link", name="Open the labels")
    expect(opened).to_be_visible()
    assert not sideways(page)
    answer = page.request.get(opened.get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf" and answer.body().startswith(b"%PDF")
    assert LabelSheet.objects.get().pieces == [StockPiece.objects.get(mark=m).pk for m in ("W1", "W3")]
