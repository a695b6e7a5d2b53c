"""From a kept plan to an evening at the bench: when it is ready, a timetable looked for and kept, a row counted dry and
ticked, and the rest planned again."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.plans.models import KeptTimetable
from shopapp.plans.timetable import searching
from tests.support import work
from tests.support.browser import axe_findings, sideways
from tests.support.week import a_week

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("size", ["phone"])
def test_a_plan_is_given_its_evenings_and_one_is_worked_through(open_page, owner, monkeypatch, size):
    monkeypatch.setattr(searching, "SEARCH_SECONDS", 0.3)
    monkeypatch.setattr(searching, "ADVICE_SECONDS", 0.3)
    a_week(owner)
    plan = work.kept(owner)
    page = open_page(f"/plans/{plan.pk}/", size)
    expect(page.get_by_text(re.compile("if it is begun"))).to_be_visible()
    page.get_by_role("link", name="Look for a timetable").tap()
    expect(page.get_by_role("heading", name="At a first look")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_label("The wood is here and settled").check()
    page.get_by_role("button", name="Look for a timetable").tap()
    expect(page.get_by_text("The search waits for its turn.")).to_be_visible()
    run_waiting_tasks()
    page.get_by_role("button", name="Keep it and book its evenings").tap()
    expect(page.get_by_text("The timetable is kept, and its evenings are booked.")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("link", name="Tonight’s card").tap()
    expect(page.get_by_text(re.compile("of .* steps done"))).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    page.locator("button.box").first.tap()
    expect(page.locator(".sofar")).to_contain_text("1 of")
    page.get_by_role("button", name="Plan the rest again from today").tap()
    expect(page.get_by_text("What is left is planned from today on")).to_be_visible()
    assert KeptTimetable.objects.count() == 2
