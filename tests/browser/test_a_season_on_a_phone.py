"""The season in a browser: it comes after the list by itself, and a day is looked at on a phone."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone
from playwright.sync_api import expect

from tests.support import season, work
from tests.support.browser import sideways


def test_what_is_late_comes_after_the_list_and_boards_before_a_day_are_counted(open_page, owner):
    season.five_evenings(owner)
    plan, today = work.kept(owner), timezone.localdate()
    for n, label in enumerate(("Heron", "Otter", "Lantern", "Pennant")):
        kind = "sale" if n % 2 else "gift"
        work.job(owner, plan, label=label, kind=kind, due=today + timedelta(days=34 + n))
    page = open_page("/jobs/", "phone")
    expect(page.locator(".works li").first).to_contain_text("likely ready")
    assert page.title().startswith("Jobs")
    page.get_by_role("link", name="Gifts").tap()
    expect(page.locator(".works li")).to_have_count(2)
    expect(page.locator(".judged")).to_have_count(2)
    page.get_by_label("Every board due by").fill((today + timedelta(days=40)).isoformat())
    page.get_by_role("button", name="Look at this day").tap()
    expect(page.locator(".fits")).to_contain_text("Four boards by")
    expect(page.locator(".works li")).to_have_count(2)
    assert not sideways(page)
