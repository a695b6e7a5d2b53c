"""With gluey hands: an operation and its minutes in two touches, minutes typed and sent by Enter, a slip mended."""

from __future__ import annotations

from playwright.sync_api import expect

from shopapp.schedule.log import planning
from shopapp.workshop.models import Workshop
from tests.support import work
from tests.support.browser import axe_findings, sideways


def test_minutes_are_written_down_mended_and_learned_from(open_page, owner):
    job = work.job(owner, work.kept(owner))
    page = open_page(f"/jobs/{job.pk}/time/", "tablet")
    told = page.get_by_role("status")
    page.get_by_label("Crosscutting parts").tap()
    page.get_by_role("button", name="45 min").tap()
    expect(told.filter(has_text="45 min at “Crosscutting parts” written down.")).to_be_visible()
    # What was worked at stays chosen, and Enter writes what was typed, not what a button offers.
    expect(page.get_by_label("Crosscutting parts")).to_be_checked()
    page.get_by_label("How long").fill("1:20")
    page.get_by_label("How long").press("Enter")
    expect(told.filter(has_text="80 min")).to_be_visible()
    page.get_by_role("link", name="Mend").first.tap()
    page.get_by_label("How long").fill("20")
    page.get_by_role("button", name="Keep it so").tap()
    expect(told.filter(has_text="20 min at “Crosscutting parts” count now.")).to_be_visible()
    page.get_by_role("button", name="Crosscutting parts is done").tap()
    expect(page.get_by_text("done, ")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    assert planning.learned(Workshop()).jobs_of["crosscut"] == 1
    assert [entry.minutes for entry in planning.standing_entries()] == [45, 20, 0]
