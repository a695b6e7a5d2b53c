"""Selling at a fair from a phone: two taps a sale, the network cut, the page loaded again, another who was quicker."""

from __future__ import annotations

import re

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from shopapp.listings.fairs.actions import pack
from shopapp.listings.models import Piece, Sale
from tests.support import work
from tests.support.browser import axe_findings, looks_of, sideways
from tests.support.fairs import fair, listed, packed
from tests.support.patience import sent, still
from tests.support.pieces import sold, told_wrongly

pytestmark = pytest.mark.django_db(transaction=True)
OFFLINE = "Failed to load resource"


@pytest.fixture
def harbour(owner):
    """A fair with four pieces, the first of which is listed at 240."""
    found = fair(owner)
    heron = listed(owner, work.kept(owner), "Heron", "240")
    pack(who=owner, fair=found, pieces=[heron])
    return found, [heron, *packed(owner, found, "Otter", "Lantern", "Tide bell")]


def ready(page):
    page.locator("#stall[data-ready]").wait_for()
    return page


def opened(open_page, found, size: str = "phone", **given):
    return ready(open_page(f"/listings/fairs/{found.pk}/till/", size, **given))


def sell(page, words: str, price: str = "") -> None:
    """The two taps; the price typed where another was got than is asked."""
    page.locator("#pieces").get_by_role("button", name=re.compile(words)).tap()
    if price:
        page.locator("#price").fill(price)
    page.get_by_role("button", name="Sold for").tap()
    expect(page.locator("#status")).to_have_text(re.compile(f"^Sold: .*{words}"))


def test_two_sales_without_network_a_reload_and_a_clash_are_kept_and_sent_once(open_page, harbour, owner):
    found, (heron, otter, lantern, _) = harbour
    page, other = (opened(open_page, found, expect=OFFLINE) for _ in range(2))
    expect(page.locator("#kept-here")).to_contain_text("it opens without network too")
    for phone in (page, other):
        phone.context.set_offline(True)
    # Somebody behind the stall has another phone, and knows as little.
    sell(other, "Heron", "210")
    expect(other.locator("#status")).to_have_text("Sold: No. 1, Heron for €\u00a0210.")
    # Two taps: the piece, and what it was sold for.
    sell(page, "Heron")
    expect(page.locator("#sold li")).to_have_count(1)
    expect(page.locator("#queue")).to_contain_text("1 thing waits to be sent; the shop’s machine is away")
    expect(page.locator("#sold").get_by_text("waits to be sent")).to_be_visible()
    sell(page, "Otter", "175")
    expect(page.locator("#status")).to_have_text("Sold: No. 2, Otter for €\u00a0175.")
    # Loaded again it still sells, and nothing is forgotten.
    page.reload()
    ready(page)
    expect(page.locator("#queue")).to_contain_text("2 things wait to be sent. Nothing is lost")
    expect(page.locator("#sold li")).to_have_count(2)
    expect(page.locator("#pieces li")).to_have_count(2)
    sell(page, "Lantern", "90")
    # The last one was a slip of the thumb: an entry takes it back.
    page.get_by_role("button", name="Take it back").tap()
    expect(page.locator("#status")).to_have_text("Taken back: No. 3, Lantern.")
    expect(page.locator("#pieces li")).to_have_count(2)
    for look in looks_of(page, "phone light", "phone dark", "tablet light", "laptop light"):
        assert axe_findings(page) == [] and not sideways(page), look
    assert not Sale.objects.exists()
    # At home the otter was sold too.
    at_home = sold(owner, Piece.objects.get(pk=otter.pk), "240", to_whom="Robin")
    page.context.set_offline(False)
    # It looks by itself whether the machine is there again.
    expect(page.locator("#queue")).to_have_text("all sent")
    still(ready(page))
    kept = {sale.piece_id: sale for sale in Sale.objects.exclude(pk=at_home.pk)}
    assert {pk: str(sale.price) for pk, sale in kept.items()} == {
        heron.pk: "240.0000", otter.pk: "175.0000", lantern.pk: "90.0000",
    }  # fmt: skip
    assert kept[lantern.pk].changes.get().kind == "mistake"
    assert {sale.on for sale in kept.values()} == {timezone.localdate()} and told_wrongly() == []
    # Both sales of the otter are shown, and one of them is said to stand.
    clash = page.locator("#clashes .clash")
    expect(clash).to_contain_text("No. 2, Otter was sold twice")
    assert axe_findings(page) == [] and not sideways(page)
    clash.locator("li", has_text="Here").get_by_role("button", name="Whoever bought it here").tap()
    expect(page.locator(".clash")).to_have_count(0)
    assert Piece.objects.get(pk=otter.pk).sale == kept[otter.pk]
    # The other phone sends what it sold, and both of them say that the heron went twice; settled on one it is on both.
    other.context.set_offline(False)
    expect(other.locator("#queue")).to_have_text("sent what waited: 1 thing", timeout=20000)
    page.goto(f"/listings/fairs/{found.pk}/till/")
    for phone in (other, ready(page)):
        expect(phone.locator("#clashes .clash")).to_contain_text("No. 1, Heron was sold twice")
        expect(phone.locator("#clashes .clash li")).to_have_count(2)
    assert axe_findings(page) == []
    of_210 = page.locator("#clashes .clash li", has_text="210").get_by_role("button", name="for €\u00a0210.00")
    of_210.tap()
    expect(page.locator(".clash")).to_have_count(0)
    other.reload()
    expect(ready(other).locator(".clash")).to_have_count(0)
    assert Piece.objects.get(pk=heron.pk).sale.price == 210 and told_wrongly() == []


def test_a_sale_is_taken_back_after_it_was_sent(open_page, harbour):
    found, (heron, *_) = harbour
    page = opened(open_page, found)
    with sent(page, "sale"):
        sell(page, "Heron", "200")
    expect(page.locator("#queue")).to_have_text("all sent")
    expect(page.get_by_text("waits to be sent")).to_have_count(1)
    expect(page.get_by_text("waits to be sent")).to_be_hidden()
    expect(page.locator("#last")).to_contain_text("Last: No. 1, Heron for €\u00a0200")
    page.reload()
    ready(page)
    with sent(page, "undo"):
        page.get_by_role("button", name="Take it back").tap()
    expect(page.locator("#pieces li")).to_have_count(4)
    expect(page.locator("#queue")).to_have_text("all sent")
    heron.refresh_from_db()
    assert (heron.where, heron.sale) == ("fair", None) and told_wrongly() == []
    # What cannot be a price goes nowhere, and by card is a sale like another.
    page.locator("#pieces").get_by_role("button", name=re.compile("Heron")).tap()
    page.locator("#price").fill("a lot")
    page.get_by_role("button", name="By card").tap()
    expect(page.locator("#price-wrong")).to_contain_text("Write what was got for it")
    page.locator("#price").fill("180,50")
    with sent(page, "sale"):
        page.get_by_role("button", name="By card").tap()
    assert [(str(one.price), one.how) for one in Sale.objects.order_by("-pk")[:1]] == [("180.5000", "card")]


@pytest.mark.parametrize("size", ["phone", "tablet"])
def test_every_target_is_as_wide_as_a_thumb(open_page, harbour, size):
    page = opened(open_page, harbour[0], size)
    page.locator("#pieces").get_by_role("button", name=re.compile("Heron")).tap()
    small = page.evaluate(
        """() => [...document.querySelectorAll('#stall :is(button, a.button, input)')].filter(e => e.checkVisibility())
            .map(e => [e.textContent.trim(), e.getBoundingClientRect().height]).filter(([, high]) => high < 55.9)"""
    )
    assert small == [] and axe_findings(page) == [] and not sideways(page)
