"""At the rack in the evening: what the shorts could become, which pieces to fetch, and the way to one of them."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from planner.measures import Length
from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.support.browser import axe_findings, sideways
from tests.support.rack import boards
from tests.support.shop import add_woods, board, design_with_pattern

WOODS = ("sycamore", "walnut-black", "birch-yellow", "padauk")


@pytest.mark.parametrize("size", ["phone", "tablet", "laptop"])
def test_from_the_rack_to_what_can_be_made_tonight_and_the_pieces_for_it(open_page, owner, transactional_db, size):
    add_woods(*WOODS)
    flag = design_with_pattern(owner)
    keep_plan(who=owner, version=flag.versions.get(), board=board(), workshop=the_workshop())
    for wood in ("sycamore", *WOODS[:3]):
        boards(owner, 1, wood=wood, length=Length.of_mm(480), place="bin by the saw")
    (long,) = boards(owner, 1, wood="padauk", length=Length.of_mm(900))
    page = open_page("/woods/rack/", size)

    def press(role: str, name: str) -> None:
        target = page.get_by_role(role, name=name)
        target.click() if size == "laptop" else target.tap()

    press("link", "What the shorts could become")
    expect(page.get_by_text("Lacks 1 tile of Padauk.")).to_be_visible()
    expect(page.get_by_text("The machines’ manuals come first")).to_be_visible()
    page.get_by_label("Every free piece, however long").check()
    press("button", "Look through these")
    expect(page.get_by_text("Can be made from 5 pieces")).to_be_visible()
    summary = page.get_by_text("Which pieces to fetch")
    summary.click() if size == "laptop" else summary.tap()
    expect(page.get_by_text("bin by the saw").first).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    press("link", long.mark)
    expect(page.get_by_role("heading", level=1)).to_contain_text(long.mark)


def test_the_pieces_to_fetch_are_reached_and_opened_by_keys(open_page, owner, transactional_db):
    add_woods(*WOODS)
    flag = design_with_pattern(owner)
    keep_plan(who=owner, version=flag.versions.get(), board=board(), workshop=the_workshop())
    for wood in ("sycamore", *WOODS):
        boards(owner, 1, wood=wood, length=Length.of_mm(480), place="bin by the saw")
    page = open_page("/plans/shorts/")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.tagName") == "SUMMARY":
            break
    page.keyboard.press("Enter")
    expect(page.get_by_text("bin by the saw").first).to_be_visible()
