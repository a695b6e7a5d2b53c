"""With one hand in the yard: three boards are bought, one is found on the rack, split and put together again."""

from __future__ import annotations

from playwright.sync_api import expect

from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.browser import axe_findings, sideways
from tests.support.rack import supplier
from tests.support.shop import add_woods


def fill(page, **typed: str) -> None:
    for label, text in typed.items():
        page.get_by_label(label.capitalize(), exact=True).fill(text)


def test_three_boards_are_bought_one_is_found_split_and_made_whole_again(open_page, transactional_db):
    add_woods("walnut-black", "padauk")
    supplier("Millrace Yard", rule="surface")
    page = open_page("/woods/buy/", "phone")
    page.get_by_label("Wood", exact=True).select_option("walnut-black")
    fill(page, thickness="8/4", width='6 1/4"', length="8 ft", price="12")
    page.get_by_role("button", name="Add, same again").tap()
    tally = page.get_by_role("group", name="So far")
    expect(tally).to_contain_text("1 board: 8.00\u00a0bf paid, 8.33\u00a0bf there")
    expect(tally).to_be_in_viewport()
    fill(page, width='5"')
    page.get_by_role("button", name="Add, same again").tap()
    page.get_by_label("Wood", exact=True).select_option("padauk")
    page.get_by_role("button", name="Add, same again").tap()
    expect(tally).to_contain_text("3 boards")
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Book this delivery").tap()
    expect(page.get_by_text("Chalk each board’s mark on it.")).to_be_visible()
    assert list(StockPiece.objects.values_list("mark", flat=True).order_by("pk")) == ["W1", "W2", "P3"]

    page.goto("/woods/rack/")
    page.get_by_text("Find a piece").tap()
    page.get_by_label("Mark or number").fill("2")
    page.get_by_role("button", name="Show these").tap()
    page.get_by_role("link", name="W2").tap()
    page.get_by_text("Split it").first.tap()
    page.get_by_label("Length 1").fill("4 ft")
    page.get_by_label("Length 2").fill("3 ft")
    page.get_by_role("button", name="Split it").tap()
    expect(page.get_by_text("Chalk W2a and W2b on.")).to_be_visible()
    assert not sideways(page)
    page.get_by_role("button", name="Undo this").tap()
    expect(page.get_by_text("Undone: W2 was split")).to_have_count(2)
    assert StockPiece.objects.get(mark="W2").state == "here"
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
