"""Answers that come in while a maker types: what was open stays open, and what went wrong is seen as well as heard."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.shop import add_woods, design_with_pattern


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return f"/plans/reckon/{design_with_pattern(owner).pk}/"


def test_a_sum_that_was_open_stays_open_when_its_figure_changes(open_page, address):
    page = open_page(address)
    page.locator("#pays summary").first.click()
    expect(page.locator("#pays details").first).to_have_attribute("open", "")
    page.get_by_label("Pitch of a tile").fill("25")
    expect(page.locator("#board")).to_contain_text("252 mm")
    expect(page.locator("#pays details").first).to_have_attribute("open", "")
    assert page.locator("#wood details[open]").count() == 0


def test_the_region_read_aloud_is_never_replaced_only_filled(open_page, address):
    """A live region must stand in the page before its words change (WCAG 2.2, 4.1.3)."""
    page = open_page(address)
    page.evaluate("document.getElementById('status').stands = true")
    page.get_by_label("Pitch of a tile").fill("25")
    expect(page.locator("#status")).to_contain_text("of work")
    assert page.evaluate("document.getElementById('status').stands") is True
    assert page.locator("#status").get_attribute("role") == "status"


def test_a_lost_connection_is_said_beside_the_field_until_an_answer_comes(open_page, address):
    page = open_page(address, expect="ERR_FAILED")
    # The library that asks writes its own line on the console for every lost request.
    page.evaluate("console.error = () => {}")
    page.route("**/plans/reckon/**", lambda route: route.abort())
    pitch = page.get_by_label("Pitch of a tile")
    pitch.fill("25")
    said = page.locator(".field:has(#id_pitch)").get_by_role("alert")
    expect(said).to_be_visible()
    expect(said).to_contain_text("could not be reached")
    expect(pitch).to_have_value("25")
    expect(pitch).to_be_focused()
    page.unroute("**/plans/reckon/**")
    pitch.fill("26")
    expect(page.locator("#board")).to_contain_text("258 mm")
    expect(said).to_have_count(0)


def test_whoever_was_signed_out_is_told_and_keeps_what_was_typed(open_page, address):
    page = open_page(address)
    page.context.clear_cookies()
    pitch = page.get_by_label("Pitch of a tile")
    pitch.fill("25")
    expect(page.locator(".field:has(#id_pitch)").get_by_role("alert")).to_contain_text("signed out")
    expect(pitch).to_have_value("25")
    expect(page.get_by_role("heading", level=1)).to_have_text("The reckoning")
    assert page.locator("#id_password").count() == 0


def test_a_fields_unit_is_heard_as_well_as_seen(open_page, address):
    page = open_page(address)
    expect(page.get_by_label("Pitch of a tile")).to_have_accessible_description(
        "mm From one tile's edge to the next one's."
    )
    expect(page.locator("#id_margin")).to_have_accessible_description("%")
