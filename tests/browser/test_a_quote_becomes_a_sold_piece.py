"""From a kept plan to a sold piece, on a tablet at the bench: quoted, accepted, its wood reserved, taken and brought
back, finished, listed and sold."""

from __future__ import annotations

from decimal import Decimal

import pytest
from playwright.sync_api import expect

from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.models import Job
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.listings.models import ListingEvent
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support import work
from tests.support.browser import axe_findings, sideways
from tests.support.rack import boards


@pytest.fixture
def plan(owner, transactional_db):
    plan = work.kept(owner)
    boards(owner, 2, wood="walnut-black")
    boards(owner, 1, wood="sycamore", length=Length.of_mm(900))
    return plan


def test_a_plan_is_quoted_accepted_made_and_sold(open_page, plan):
    page = open_page(plan.get_absolute_url(), "tablet")

    def press(role: str, name: str, **how) -> None:
        page.get_by_role(role, name=name, **how).tap()

    # Whose the picture is is asked first, and the way goes on.
    press("link", "Quote it")
    page.get_by_label("Whose is it?").select_option(label="mine")
    press("button", "Go on to the quote")
    page.get_by_label("For whom").fill("Wren Attwater")
    press("button", "Begin this quote")
    page.get_by_label("Option 1, price of a board").fill("210.00")
    page.get_by_label("A few words to them").fill("As we spoke about it on the quay.")
    assert axe_findings(page) == [] and not sideways(page)
    press("button", "Look it over")
    press("button", "Make this quote")
    expect(page.get_by_text("The paper is being made")).to_be_visible()
    run_waiting_tasks()
    link = page.get_by_role("link", name="Open the quote")
    expect(link).to_be_visible()
    paper = page.request.get(link.get_attribute("href"))
    assert paper.ok and paper.body().startswith(b"%PDF")
    press("button", "It was sent")
    press("link", "It is accepted")
    page.get_by_label("Due").fill("2027-03-04")
    press("button", "It is accepted: begin its job")
    expect(page.get_by_text("is accepted, and here is its job")).to_be_visible()

    # Boards that serve were reserved as it was accepted; the whole line of a piece is its tick.
    press("link", "Choose, take, bring back")
    line = page.locator("label.tick", has_text="W1")
    assert line.bounding_box()["height"] >= 60
    assert page.locator("label.tick", has_text="S3").is_visible()
    assert axe_findings(page) == [] and not sideways(page)
    line.tap()
    press("button", "Take the ticked")
    expect(page.get_by_text("W1 was taken for Flag.")).to_be_visible()
    press("link", "Bring back of W1")
    page.get_by_label("Length 1").fill("700")
    page.get_by_label("Length 2").fill("450")
    page.get_by_label("Width 2").fill("60")
    press("button", "These came back")
    expect(page.get_by_text("Chalk W1a and W1b on what came back.")).to_be_visible()
    assert StockPiece.objects.get(mark="W1a").worth > 0

    press("link", "Flag")
    press("button", "Begin it")
    press("button", "It is finished")
    # Boards are still reserved for it: that is told first.
    press("button", "Finish it with these open")
    press("link", "List it")
    page.get_by_label("What is said of it").fill("Of four woods.")
    press("button", "List it")
    page.locator("summary", has_text="It was sold").tap()
    page.get_by_label("Price got").fill("205.00")
    page.get_by_role("group").filter(has=page.get_by_label("Price got")).get_by_label("To whom").fill("Wren Attwater")
    press("button", "It was sold")
    expect(page.get_by_text("Flag was sold to Wren Attwater for €\u00a0205.00.").first).to_be_visible()
    assert ListingEvent.objects.get(state="sold").got == Decimal("205.00")
    assert Job.objects.get().state == "finished" and jobs_told_wrongly() == []
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_a_board_gone_meanwhile_is_named_and_the_other_ticks_stay(open_page, owner, plan):
    job = work.job(owner, plan)
    page = open_page(f"/jobs/{job.pk}/wood/", "phone", expect="409")
    for mark in ("W1", "W2"):
        page.locator("label.tick", has_text=mark).tap()
    work.give(owner, work.job(owner, label="Otter"), "take", StockPiece.objects.get(mark="W1"))
    page.get_by_role("button", name="Take them now").tap()
    summary = page.locator("#error-summary")
    expect(summary).to_contain_text("W1 is not on the rack any more: taken for Otter.")
    expect(summary).to_be_focused()
    expect(page.locator("label.tick", has_text="W2").get_by_role("checkbox")).to_be_checked()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Take them now").tap()
    expect(page.get_by_text("W2 was taken for Flag.")).to_be_visible()


def test_names_that_are_one_long_word_push_no_page_sideways(open_page, owner, plan):
    long = "W" * 80
    job = work.move(owner, work.job(owner, plan, label=long, for_whom=long, kind="sale"), "under way", "finished")
    work.give(owner, job, "take", StockPiece.objects.get(mark="W1"))
    quote = work.quote(owner, plan, title=long, for_whom=long, words=long, terms=long)
    listing = work.listing(owner, job, title=long, words=long)
    run_waiting_tasks()
    page = open_page("/jobs/", "narrow")
    found = []
    for path in (
        "/jobs/", "/quotes/", "/listings/", job.get_absolute_url(), quote.get_absolute_url(),
        listing.get_absolute_url(), f"/jobs/{job.pk}/wood/", f"/jobs/{job.pk}/wood/W1/back/",
        f"/jobs/{job.pk}/change/", f"/jobs/accept/{quote.pk}/", f"/listings/new/{job.pk}/", plan.get_absolute_url(),
    ):  # fmt: skip
        page.goto(path)
        if sideways(page):
            found.append((path, sideways(page)))
    assert found == []


def test_wood_is_taken_by_keyboard_alone_and_without_scripts(chromium, live_server, fonts, owner, plan):
    job = work.job(owner, plan)
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("#id_username", "mara")
    page.fill("#id_password", "a long enough password")
    page.click("main button")
    page.goto(f"/jobs/{job.pk}/wood/")
    page.locator("label.tick", has_text="W1").get_by_role("checkbox").focus()
    page.keyboard.press("Space")
    page.get_by_label("At least so long").fill("1000")
    page.keyboard.press("Enter")
    # Enter in the length narrows the list; it reserves nothing, and the tick stays.
    expect(page.locator("label.tick", has_text="S3")).to_have_count(0)
    expect(page.locator("label.tick", has_text="W1").get_by_role("checkbox")).to_be_checked()
    assert not StockPiece.objects.exclude(demand=None).exists()
    page.get_by_role("button", name="Reserve the ticked").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("W1 was reserved for Flag.")).to_be_visible()
    context.close()
