"""At the bench with a gauge: a dry row is typed, what follows is seen before it is kept, and the sheet goes by it."""

from __future__ import annotations

from playwright.sync_api import expect

from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.models import TileMeasured
from tests.support.browser import axe_findings, sideways
from tests.support.cutting import cutting, plan_and_rack


def test_a_dry_row_is_typed_seen_kept_and_goes_into_the_stops(open_page, owner, transactional_db):
    plan = plan_and_rack(owner)
    wanted = cutting(plan)
    sheet = keep_plan_of(who=owner, cutting=wanted, search=ask_for_plan(who=owner, cutting=wanted, wishes={}))
    page = open_page(f"/plans/{plan.pk}/cut/{sheet.pk}/", "tablet", expect="422")
    page.get_by_role("link", name="Write down what a tile measures").tap()
    page.get_by_label("Tiles laid end to end").fill("4")
    # Four tiles of 16.9 laid dry should be 67.6.
    page.get_by_label("They measure").fill("90")
    expect(page.get_by_role("alert")).to_contain_text("more than 5 % off")
    page.get_by_label("They measure").fill("68")
    expect(page.get_by_role("heading", name="What would follow")).to_be_visible()
    expect(page.get_by_text("a tile as made, 0.1 mm longer")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)
    assert not TileMeasured.objects.exists()
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="Keep this measure").tap()
    expect(page.get_by_role("status").filter(has_text="The measure is kept")).to_be_visible()
    expect(page.get_by_role("heading", name="What follows")).to_be_visible()
    expect(page.get_by_text("Too little left to hold.")).to_be_visible()
    page.get_by_role("link", name="kept cut plan").tap()
    page.get_by_text("Crosscut parts").tap()
    expect(page.get_by_text("as made, for tile")).to_be_visible()
    assert axe_findings(page) == [] and not sideways(page)
    assert TileMeasured.objects.get().tiles == 4
