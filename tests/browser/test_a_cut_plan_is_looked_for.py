"""At the bench in the evening: a first plan at once, a search that is watched, stopped and kept, and what stands in its
way, by finger and by keys."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from planner.measures import round_half_up
from shopapp.common.tasks import claim_next, run_waiting_tasks
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import set_piece_aside
from shopapp.plans.cutting import planning
from shopapp.plans.cutting.actions import ask_for_plan
from shopapp.plans.cutting.checks import sheets_that_do_not_hold
from shopapp.plans.cutting.searching import Run
from shopapp.plans.models import CutSearch, CutSheet
from shopapp.workshop.readers import the_workshop
from tests.support.browser import axe_findings, sideways
from tests.support.cutting import cutting, plan_and_rack


def amount(units: int) -> str:
    return f"{round_half_up(units / 10000, 2)}"


@pytest.mark.parametrize("size", ["phone", "tablet"])
def test_it_is_asked_for_watched_as_it_gets_better_stopped_and_kept(open_page, owner, transactional_db, size):
    plan = plan_and_rack(owner)
    page = open_page(f"/plans/{plan.pk}/", size)
    page.get_by_role("link", name="Cut plan").tap()
    expect(page.get_by_role("heading", name="A first plan, longest parts first")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.reload()
    page.get_by_text("Wishes", exact=True).tap()
    page.get_by_label("Both borders of a row from one strip").check()
    page.get_by_role("button", name="Look for a better plan").tap()
    expect(page.get_by_text("The search waits for its turn.")).to_be_visible()
    expect(page.get_by_text("not known yet").first).to_be_visible()
    # The worker takes it up, and saves what it found.
    claim_next("here/1")
    search = CutSearch.objects.get()
    run = Run(search.input_hash)
    run.begin()
    expect(page.get_by_text("Looking for a better plan.")).to_be_visible()
    found = planning.search(search.file, plan.record, the_workshop(), lambda: True, lambda prove: None)
    run.save(found)
    expect(page.locator(".cut-sums")).to_contain_text(amount(found.floor))
    expect(page.locator(".cut-sums .big")).to_contain_text(amount(found.cost))
    expect(page.get_by_text("Looking for a better plan.")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Stop here").tap()
    expect(page.get_by_text("The search has ended.")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Keep this plan").tap()
    expect(page.get_by_text("The cut plan is kept. Nothing will change it.")).to_be_visible()
    expect(page.get_by_role("link", name="At the bench")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    sheet = CutSheet.objects.get()
    assert sheet.form == found.text and sheet.wishes == {"pair_borders": True}
    assert sheets_that_do_not_hold() == []


def test_its_end_is_seen_without_loading_the_page_and_what_is_being_typed_stays(open_page, owner, transactional_db):
    plan = plan_and_rack(owner)
    ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    page = open_page(f"/plans/{plan.pk}/cut/")
    page.get_by_text("What if I bought a board?").click()
    page.get_by_label("Width").fill("150")
    page.locator("#stop-cut").focus()
    run_waiting_tasks()
    expect(page.get_by_text("Nothing is left to try.")).to_be_visible()
    expect(page.get_by_role("button", name="Stop here")).to_have_count(0)
    expect(page.get_by_label("Width")).to_have_value("150")
    expect(page.get_by_role("heading", name="Which board gives what")).to_be_visible()
    assert axe_findings(page) == []


def test_a_finger_that_stays_on_a_button_while_figures_change_presses_it(open_page, owner, transactional_db):
    """What can be pressed is not replaced under the hand each time the page asks."""
    plan = plan_and_rack(owner)
    ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    page = open_page(f"/plans/{plan.pk}/cut/")
    page.locator("#stop-cut").focus()
    mark = "document.querySelector('#stop-cut').dataset.mine = 'yes'"
    page.evaluate(mark)
    with page.expect_response(lambda answer: "/cut/state/" in answer.url):
        pass
    with page.expect_response(lambda answer: "/cut/state/" in answer.url):
        pass
    assert page.evaluate("document.activeElement.dataset.mine") == "yes"
    page.keyboard.press("Enter")
    expect(page.get_by_text("The search has ended.")).to_be_visible()


def test_wood_that_was_set_aside_meanwhile_is_told_by_its_mark_and_a_new_search_is_one_press_away(
    open_page, owner, transactional_db
):
    plan = plan_and_rack(owner)
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    page = open_page(f"/plans/{plan.pk}/cut/", "phone", expect="409")
    mark = planning.boards_used(search.best)[0]
    set_piece_aside(who=owner, piece=StockPiece.objects.get(mark=mark), reason="a shake")
    page.get_by_role("button", name="Keep this plan").tap()
    expect(page.get_by_role("alert")).to_contain_text(f"{mark} was set aside meanwhile: a shake.")
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Look again with the rack as it is").tap()
    expect(page.get_by_text("The search waits for its turn.")).to_be_visible()
    assert mark not in planning.boards_used(CutSearch.objects.first().best)


def test_what_cannot_be_cut_is_told_and_every_wish_still_stands(open_page, owner, transactional_db):
    plan = plan_and_rack(owner)
    page = open_page(f"/plans/{plan.pk}/cut/", "phone", expect="422")
    page.get_by_text("Leave boards out").tap()
    marks = StockPiece.objects.filter(wood="padauk").values_list("mark", flat=True)
    for mark in marks:
        page.locator(f'input[name=leave_out][value="{mark}"]').check()
    page.get_by_role("button", name="Look for a better plan").tap()
    expect(page.get_by_text("There is no Padauk on the rack that is free")).to_be_visible()
    for mark in marks:
        expect(page.locator(f'input[name=leave_out][value="{mark}"]')).to_be_checked()
    assert axe_findings(page) == [] and not sideways(page)
