"""The maker opens the shop's page; a visitor without scripts, on a phone and a slow line, finds a piece, looks at it
and asks about it; the maker answers. Every page visitors see is for everybody."""

from __future__ import annotations

import re

import pytest
from django.core import mail
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.models import Enquiry, Listing
from shopapp.workshop.models import Workshop
from tests.support import visitors, work
from tests.support.browser import axe_findings, looks_of, sideways
from tests.support.visitors import piece_page

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# A phone at the edge of its net: 400 ms there and back, 50 kB a second.
SLOW = {"offline": False, "latency": 400, "downloadThroughput": 50_000, "uploadThroughput": 20_000}
MOST_BYTES = 100_000


@pytest.fixture
def heron(owner, settings):
    settings.MAIL_GOES = "server"
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    Workshop.objects.update_or_create(
        pk=1, defaults={"name": "Reedbank Workshop", "mail": "boards@reedbank.example", "edit_version": 1}
    )
    job = visitors.finished(owner)
    listing = work.listing(owner, job, title="Heron among the reeds", words="Standing where the creek turns.")
    visitors.photographed(listing, png=visitors.photo_png())
    return listing


def test_the_page_is_opened_and_a_phone_without_scripts_finds_a_piece_and_asks(
    chromium, live_server, fonts, owner, open_page, heron
):
    page = open_page("/listings/shop/", "laptop")
    page.get_by_label("What it says first").fill("Boards from beside the creek.")
    page.get_by_role("button", name="Keep this").click()
    page.get_by_role("link", name="Heron among the reeds").click()
    page.get_by_label("Visitors see it").check()
    page.get_by_role("button", name="Keep this").click()
    run_waiting_tasks()
    page.get_by_role("link", name="Look at it as a visitor").click()
    expect(page.get_by_text("nobody does yet")).to_be_visible()
    expect(page.locator("img")).to_have_js_property("complete", True)
    assert page.locator("img").evaluate("img => img.naturalWidth") > 0
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("link", name="Back to the shop’s page").click()
    page.get_by_role("button", name="Open it to visitors").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Visitors see the shop’s page")

    phone = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, java_script_enabled=False
    )
    visitor = phone.new_page()
    sizes: dict[str, int] = {}
    visitor.on("requestfinished", lambda one: sizes.__setitem__(one.url, one.sizes()["responseBodySize"]))
    line = phone.new_cdp_session(visitor)
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", SLOW)
    visitor.goto(f"{live_server.url}/shop/")
    visitor.wait_for_load_state("networkidle")
    visitor.get_by_role("link", name=re.compile("Heron among the reeds")).tap()
    expect(visitor.get_by_role("heading", level=1)).to_have_text("Heron among the reeds")
    visitor.wait_for_load_state("networkidle")
    beside = {url: size for url, size in sizes.items() if ".jpg" not in url}
    assert sum(beside.values()) < MOST_BYTES, beside
    # No photo comes larger than a phone of that width shows it, twice as fine.
    assert {url[-7:] for url in sizes if ".jpg" in url} <= {"480.jpg", "960.jpg"}
    assert all(live_server.url in url for url in sizes)
    visitor.get_by_label("Your name").fill("Wren Attwater")
    visitor.get_by_label("How you want to be answered").fill("wren@boathouse.example")
    visitor.get_by_label("What you ask").fill("Does it hang in a bathroom?")
    visitor.get_by_role("button", name="Ask the maker").tap()
    expect(visitor.get_by_role("heading", level=1)).to_have_text("Your question is with the maker")
    assert phone.cookies() == []
    phone.close()

    run_waiting_tasks()
    assert mail.outbox[0].reply_to == ["wren@boathouse.example"]
    page.goto("/listings/asked/")
    page.get_by_role("link", name=re.compile("Wren Attwater")).click()
    expect(page.get_by_text("Does it hang in a bathroom?")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="It is answered").click()
    assert Enquiry.objects.get().state == "answered"


def test_every_page_visitors_see_is_for_everybody(open_page, owner, heron):
    visitors.open_shop(about="Slip Lane 4, Reedbank.")
    visitors.shown(owner, heron)
    page = open_page("/shop/", "phone", signed_in=False, expect="status of 4")
    found = {}

    def look(name: str) -> None:
        for how in looks_of(page, "phone light", "narrow dark", "laptop light"):
            if trouble := [*axe_findings(page), *([f"{sideways(page)} px sideways"] if sideways(page) else [])]:
                found[name, how] = trouble

    look("the shop")
    page.goto(piece_page(heron))
    look("a piece")
    form = page.get_by_role("button", name="Ask the maker")
    form.evaluate("button => button.form.noValidate = true")
    page.locator("[name=website]").evaluate("field => field.value = 'x'")
    form.click()
    expect(page.locator("#error-summary")).to_contain_text("to be left empty")
    look("to mend")
    page.goto("/shop/asked/")
    look("asked")
    Listing.objects.filter(pk=heron.pk).update(state="sold")
    page.goto(piece_page(heron))
    look("sold")
    page.goto("/shop/999/")
    look("nothing")
    assert found == {}
