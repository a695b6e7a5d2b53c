"""In the yard with a phone: fourteen boards, no two alike, one after another, the ticket photographed, all booked.

What a maker does is counted: every tap and every sign typed. It is printed, with the machine's own time; what is held
is that the count stays as small as ready values make it.
"""

from __future__ import annotations

import random
import time
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.models import Delivery, Lot, StockPiece, TicketPhoto
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.browser import axe_findings, sideways
from tests.support.rack import supplier
from tests.support.shop import add_woods
from tests.support.wood_photos import photo

# As random-width stock lies in a stack: mostly one wood and thickness at a time, every width and length its own.
SEED = 14


class Thumb:
    """Does what a maker does, and counts it: a field is tapped, and what stands in it goes with the first sign."""

    def __init__(self, page) -> None:
        self.page, self.taps, self.signs = page, 0, 0

    def tap(self, found) -> None:
        found.tap()
        self.taps += 1

    def write(self, label: str, text: str) -> None:
        field = self.page.get_by_label(label, exact=True)
        self.tap(field)
        self.page.keyboard.type(text)
        expect(field).to_have_value(text)
        self.signs += len(text)

    def choose(self, label: str, value: str) -> None:
        """The field, then the choice."""
        self.page.get_by_label(label, exact=True).select_option(value)
        self.taps += 2


def fourteen() -> list[dict[str, str]]:
    dice = random.Random(SEED)
    boards = []
    for wood, thickness, price, count in (
        ("walnut-black", "5/4", "14.50", 6), ("walnut-black", "8/4", "16", 2), ("beech", "4/4", "6.20", 4),
        ("padauk", "4/4", "19", 2),
    ):  # fmt: skip
        for _ in range(count):
            size = {"Width": str(dice.randrange(110, 290)), "Length": str(dice.randrange(180, 420) * 10)}
            boards.append({"Wood": wood, "Thickness": thickness, "Price": price, **size})
    return boards


@pytest.mark.browser
def test_fourteen_boards_and_the_ticket_are_booked_with_one_hand(open_page, transactional_db, tmp_path, capsys):
    add_woods("walnut-black", "beech", "padauk")
    supplier("Millrace Yard", rule="surface", tax="0.2")
    page = open_page("/woods/buy/", "phone")
    thumb, began = Thumb(page), time.perf_counter()
    tally = page.get_by_role("group", name="So far")
    thumb.write("Carriage", "35")
    before: dict[str, str] = {}
    boards = fourteen()
    for number, board in enumerate(boards, start=1):
        for label, text in board.items():
            if before.get(label) == text:
                continue
            thumb.choose(label, text) if label == "Wood" else thumb.write(label, text)
        before = board
        thumb.tap(page.get_by_role("button", name="Add, same again"))
        expect(tally).to_contain_text(f"{number} board{'s' * (number > 1)}:")
        expect(tally).to_be_in_viewport()
    assert not sideways(page)
    thumb.tap(page.get_by_role("button", name="Book this delivery"))
    expect(page.get_by_text("Chalk each board’s mark on it.")).to_be_visible()

    ticket = tmp_path / "ticket.jpg"
    ticket.write_bytes(photo(1600, 1200, kind="JPEG"))
    page.get_by_label("A photo of the ticket").set_input_files(str(ticket))
    # The field, the camera, its shutter, its yes.
    thumb.taps += 4
    thumb.tap(page.get_by_role("button", name="Bring this photo"))
    expect(page.get_by_text("A photo is being copied.")).to_be_visible()
    run_waiting_tasks()
    expect(page.get_by_alt_text("The ticket, photo 1")).to_be_visible()
    took = time.perf_counter() - began
    assert axe_findings(page) == [] and not sideways(page)

    assert [(lot.wood, str(int(lot.width.mm)), str(int(lot.length.mm))) for lot in Lot.objects.all()] == [
        (board["Wood"], board["Width"], board["Length"]) for board in boards
    ]
    assert StockPiece.objects.count() == 14 and TicketPhoto.objects.get().shown
    assert sum(lot.carriage for lot in Lot.objects.all()) == Delivery.objects.get().carriage == Decimal(35)
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    with capsys.disabled():
        print(f"\nFourteen boards: {thumb.taps} taps, {thumb.signs} signs, {took:.1f} s with the browser's own time.")
    # Two sizes and one press a board, three more where wood, thickness and price change; a few for all of them.
    assert thumb.taps <= 14 * 3 + 4 * 4 + 10 and thumb.signs <= 14 * 7 + 4 * 8 + 2
