"""A link is made and copied; on a phone without an account, scripts or a quick line it is opened, a board is chosen and
accepted; the maker sees the job and the boards that are kept for it."""

from __future__ import annotations

import re
from datetime import timedelta
from fractions import Fraction

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.models import Job
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.lumber.models import StockPiece
from shopapp.plans.actions import keep_plan
from shopapp.quotes.models import QuoteAnswer
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.browser import axe_findings, looks_of, sideways
from tests.support.offers import link_to, page_of, typed
from tests.support.rack import boards
from tests.support.shop import board

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# A phone at the edge of its net: 400 ms there and back, 50 kB a second.
SLOW = {"offline": False, "latency": 400, "downloadThroughput": 50_000, "uploadThroughput": 20_000}
# Beside the pictures of the boards.
MOST_BYTES = 100_000


@pytest.fixture
def quote(owner):
    Workshop.objects.update_or_create(
        pk=1,
        defaults={
            "name": "Reedbank Workshop", "address": "Slipway 4\nTidewater", "mail": "boards@reedbank.example",
            "phone": "+00 1234 5678", "pay_to": "Tidal Bank, 12 34 56",
        },
    )  # fmt: skip
    plan = work.kept(owner)
    version = plan.design.versions.get()
    wide = keep_plan(who=owner, version=version, board=board(side_border=Length.of_mm(85)), workshop=the_workshop())
    boards(owner, 2, wood="walnut-black")
    boards(owner, 1, wood="sycamore", length=Length.of_mm(900))
    return work.quote(owner, plan, wide, deposit=Fraction(1, 2), there_by=timezone.localdate() + timedelta(days=60))


def test_a_phone_without_scripts_and_on_a_slow_line_says_yes(chromium, live_server, fonts, owner, open_page, quote):
    run_waiting_tasks()
    page = open_page(quote.get_absolute_url(), "laptop")
    page.get_by_role("button", name="Make a link").click()
    field = page.get_by_label("The link")
    expect(field).to_have_value(re.compile(r"/offer/[A-Za-z0-9_-]{43}/$"))
    expect(page.get_by_role("button", name="Copy it")).to_be_visible()
    address = field.input_value()
    assert axe_findings(page) == [] and not sideways(page)

    phone = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, java_script_enabled=False
    )
    customer = phone.new_page()
    sizes: dict[str, int] = {}
    customer.on("requestfinished", lambda one: sizes.__setitem__(one.url, one.sizes()["responseBodySize"]))
    line = phone.new_cdp_session(customer)
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", SLOW)
    customer.goto(address)
    expect(customer.get_by_role("heading", level=1)).to_have_text("Flag for the boathouse")
    customer.wait_for_load_state("networkidle")
    beside = {url: size for url, size in sizes.items() if ".jpg" not in url}
    assert sum(beside.values()) < MOST_BYTES, beside
    assert all(size < MOST_BYTES for url, size in sizes.items() if ".jpg" in url), sizes
    customer.get_by_role("radio").nth(1).check()
    customer.get_by_label("Your name").first.fill("Wren Attwater")
    customer.get_by_role("button", name="I accept the one chosen").tap()
    expect(customer.get_by_role("heading", level=1)).to_have_text("Accepted, thank you")
    expect(customer.get_by_text("Tidal Bank, 12 34 56")).to_be_visible()
    assert phone.cookies() == []
    phone.close()

    job = Job.objects.get()
    assert QuoteAnswer.objects.get().option.place == 2 and jobs_told_wrongly() == []
    kept = set(StockPiece.objects.filter(demand__key=job.key).values_list("mark", flat=True))
    assert kept == {"W1", "S3"}
    page.goto("/")
    expect(page.get_by_text(re.compile("accepted by Wren Attwater on"))).to_be_visible()
    page.goto(job.get_absolute_url())
    expect(page.get_by_text(re.compile(rf"{quote.reference}/2, by Wren Attwater on"))).to_be_visible()
    for mark in kept:
        expect(page.get_by_role("link", name=mark, exact=True)).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)


def test_every_page_of_a_link_is_for_everybody(open_page, owner, client, quote):
    token = link_to(owner, quote)
    client.post(page_of(token), typed(token, "ask", words="Can it hang in a bathroom?"))
    page = open_page(page_of(token), "phone", signed_in=False, expect="status of 4")
    found = {}

    def look(name: str) -> None:
        for how in looks_of(page, "phone light", "narrow dark", "laptop light"):
            if trouble := [*axe_findings(page), *([f"{sideways(page)} px sideways"] if sideways(page) else [])]:
                found[name, how] = trouble

    look("open")
    page.get_by_role("button", name="I accept the one chosen").evaluate("button => button.form.noValidate = true")
    page.get_by_role("button", name="I accept the one chosen").click()
    expect(page.locator("#error-summary")).to_contain_text("Choose one of them")
    look("to mend")
    page.goto(f"{page_of(token)}nowhere/")
    look("nothing")
    client.post(page_of(token), typed(token))
    page.goto(page_of(token))
    look("accepted")
    other = link_to(owner, work.quote(owner, quote.options.first().plan))
    client.post(page_of(other), typed(other, "decline"))
    page.goto(page_of(other))
    look("declined")
    assert found == {}
