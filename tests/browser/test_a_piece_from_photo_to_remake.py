"""A finished board on a phone: numbered, photographed, offered in two places, sold once, sent, damaged, made again."""

from __future__ import annotations

import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.models import Job
from shopapp.listings.models import Offering, Piece
from tests.support import pieces, work
from tests.support.browser import axe_findings, sideways
from tests.support.picture_files import saved, speckled


@pytest.fixture
def job(owner, transactional_db):
    plan = work.kept(owner)
    work.may(owner, plan, "list")
    pieces.a_channel()
    pieces.a_channel("Harbour Rooms", kind="shop")
    return work.move(owner, work.job(owner, plan, label="Heron", kind="sale"), "under way", "finished")


def file(name: str, seed: int) -> dict:
    return {"name": name, "mimeType": "image/png", "buffer": saved(Image.fromarray(speckled(12, 16, seed)))}


def test_a_board_is_photographed_offered_twice_sold_once_sent_damaged_and_made_again(open_page, job):
    page = open_page(job.get_absolute_url(), "phone")

    def press(role: str, name: str, **how) -> None:
        page.get_by_role(role, name=name, **how).tap()

    def fold(name: str):
        """Opened, if looking at the page did not leave it open."""
        found = page.locator("details", has=page.locator("summary", has_text=name))
        if found.get_attribute("open") is None:
            found.locator("summary").tap()
        return found

    def look() -> None:
        assert sideways(page) == 0 and axe_findings(page) == []

    press("link", "Number what was made")
    press("button", "Number it")
    expect(page.get_by_role("heading", level=1)).to_have_text("No. 1, Heron")
    look()
    # Two photos at once go one after another.
    press("link", "Photos", exact=True)
    page.get_by_label("Photos").set_input_files([file("front.png", 1), file("back.png", 2)])
    press("button", "Bring them")
    expect(page.locator(".shots > li")).to_have_count(2)
    run_waiting_tasks()
    expect(page.locator(".shots img")).to_have_count(2)
    page.get_by_role("button", name=re.compile("Choose it.*photo 2")).tap()
    expect(page.locator(".shots > li").nth(1)).to_contain_text("The chosen one")
    page.get_by_label("What is to be seen in it").nth(1).fill("The back, with its label")
    page.get_by_role("button", name=re.compile("Keep the words.*photo 2")).tap()
    expect(page.get_by_alt_text("The back, with its label")).to_be_visible()
    look()
    # Listed, and offered in two places.
    piece = Piece.objects.get()
    page.goto(page.url.removesuffix("photos/"))
    press("link", "List it")
    press("button", "List it")
    for channel, price in (("Quay Market", "250"), ("Harbour Rooms", "300")):
        form = fold("Offer it through a channel")
        form.get_by_label("Channel").select_option(label=channel)
        form.get_by_label("Price there").fill(price)
        press("button", "Offer it there")
        expect(page.get_by_role("status").first).to_contain_text(f"is offered through {channel}")
    expect(page.get_by_text("offered there since")).to_have_count(2)
    look()
    assert Offering.objects.filter(on=True).count() == 2
    form = fold("It was sold")
    # The price left empty is the one asked where it was sold, which the choice says.
    form.get_by_label("To whom").fill("Robin")
    form.get_by_label("Through").select_option(label="Quay Market, €\u00a0250.00")
    press("button", "It was sold", exact=True)
    expect(page.get_by_text("was sold to Robin through Quay Market for €\u00a0250.00").first).to_be_visible()
    # Into its box, away, and damaged.
    page.goto(piece.get_absolute_url())
    press("link", "Pack it")
    page.get_by_label("Carrier", exact=True).fill("Tide Post")
    press("button", "It is packed")
    for state, carriage in (("it was sent", "9.50"), ("it arrived damaged", "")):
        form = fold("How far it is")
        form.get_by_label("What happened").select_option(label=state)
        if carriage:
            form.get_by_label("Paid to the carrier").fill(carriage)
        press("button", "Write it down")
        expect(page.get_by_role("status").first).to_contain_text(state.split()[-1])
    expect(page.get_by_role("heading", name="What is to be done")).to_be_visible()
    look()
    fold("Make it again")
    press("button", "Begin a remake")
    expect(page.get_by_role("heading", level=1)).to_have_text("Heron, made again")
    assert Job.objects.get(kind="remake").of == job
    page.go_back()
    fold("Money back, and the sale is over")
    press("button", "Give it back")
    expect(page.locator("dd.big")).to_have_text("here, damaged")
    piece.refresh_from_db()
    assert (piece.where, piece.sale) == ("damaged", None) and pieces.told_wrongly() == []
