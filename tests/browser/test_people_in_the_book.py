"""Somebody asks for a board: written down with ways to reach them, found by typing, given what is held, erased."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import expect

from shopapp.people.known.erasing import erased_wrongly
from shopapp.people.models import Person
from tests.support.browser import axe_findings, sideways
from tests.support.patience import settled
from tests.support.people import somebody


def is_well(page) -> None:
    assert axe_findings(page) == [] and not sideways(page)


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_written_down_found_by_typing_given_out_and_erased(open_page, size):
    somebody("Tam Sedge", way="+353 1 555 0177", address="Quay 4")
    page = open_page("/people/", size)
    page.get_by_role("link", name="Write somebody down").click()
    page.get_by_label("Name", exact=True).fill("Wrén Attwater")
    page.get_by_label("Way 1, its words").fill("wren@reedbank.example")
    page.get_by_label("Way 2, its words").fill("+353 (1) 555-0100")
    page.get_by_label("Address").fill("Mill Lane 3\nReedbank")
    page.get_by_label("Notes").fill("Wants the heron to look left.")
    is_well(page)
    page.get_by_role("button", name="Write them down").click()
    expect(page.get_by_role("link", name="wren@reedbank.example")).to_have_attribute(
        "href", "mailto:wren@reedbank.example"
    )
    expect(page.get_by_role("link", name="+353 (1) 555-0100")).to_have_attribute("href", "tel:+35315550100")
    is_well(page)

    page.get_by_role("link", name="People", exact=True).first.click()
    with page.expect_response(re.compile("find=wren.+mill")):
        page.get_by_role("searchbox", name="Find").press_sequentially("wren mill")
    expect(page.get_by_role("link", name="Wrén Attwater")).to_be_visible()
    expect(page.get_by_role("link", name="Tam Sedge")).to_have_count(0)
    expect(page.locator("#status")).to_have_text("1 found.")
    is_well(page)
    page.get_by_role("link", name="Wrén Attwater").click()

    page.get_by_role("link", name="All that is held of them").click()
    is_well(page)
    with page.expect_download() as taken:
        page.get_by_role("link", name="Take it as a file (JSON)").click()
    assert json.loads(taken.value.path().read_text())["held"]["people"]["name"] == "Wrén Attwater"

    page.go_back()
    page.get_by_role("link", name="Erase them").click()
    is_well(page)
    page.get_by_label("Type Wrén Attwater to confirm").fill("wren attwater")
    page.get_by_role("button", name="Erase Wrén Attwater for good").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Somebody erased on")
    is_well(page)
    assert erased_wrongly() == [] and Person.objects.get(name="").erased_sha256 in page.content()


def test_whom_a_piece_goes_to_is_chosen_with_the_keys_alone(open_page, owner):
    from tests.support import work

    sedge = somebody("Aunt Sedge", way="sedge@quay.example")
    listing = work.listing(owner, work.move(owner, work.job(owner), "under way", "finished"))
    page = open_page(listing.get_absolute_url())
    page.get_by_text("It was given away").first.click()
    field = page.get_by_label("To whom").nth(1)
    with page.expect_response(re.compile("=quay")):
        field.press_sequentially("quay")
    settled(page)
    choice = page.get_by_label("Aunt Sedge sedge@quay.example")
    expect(choice).to_be_visible()
    expect(choice).not_to_be_checked()
    field.press("Tab")
    page.keyboard.press("Space")
    expect(choice).to_be_checked()
    is_well(page)
    page.get_by_role("button", name="It was given away").click()
    expect(page.get_by_text("Flag was given to Aunt Sedge.").first).to_be_visible()
    assert listing.events.first().person == sedge
