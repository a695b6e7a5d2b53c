"""A board of panels, end grain up, through a plan's pages, its cut plan and its timetable."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from planner.cutting.asmade import AsMadeError, Measured, remeasured
from planner.measures import Length
from shopapp.plans.actions import keep_plan
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.checks import sheets_that_do_not_hold
from shopapp.plans.readers import RecordView
from shopapp.workshop.planning import shop_of
from shopapp.workshop.readers import the_workshop
from tests.support.cutting import cutting, plan_and_rack
from tests.support.shop import add_woods, board, design_with_pattern, typed_board

# The first row of the picture comes again as the last, the second again turned end for end as the fourth.
PICTURE = """
kkkr
kyrr
yyyy
rryk
kkkr
"""
mm = Length.of_mm


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner, PICTURE, "Chequer")


@pytest.fixture
def plan(owner, design):
    asked = board(method="panels", side_border=mm(0), end_border=mm(0), quantity=3)
    return keep_plan(who=owner, version=design.versions.get(), board=asked, workshop=the_workshop())


def words_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>|&nbsp;", " ", html).split())


def test_equal_rows_rows_turned_and_every_copy_are_slices_of_one_panel(plan):
    view = RecordView(plan.record, plan.title, "mm")
    assert [(row.panel, row.turned) for row in view.rows()] == [
        (1, False), (2, False), (3, False), (2, True), (1, False),
    ]  # fmt: skip
    # Twice and once in each of three boards, spares besides.
    assert [panel.record["slices"] - panel.record["spare"] for panel in view.panels()] == [6, 6, 3]
    # Cut 21 thick at 3 a cut, 100 held: a panel of 7 slices is 268 long.
    assert view.panels()[0].sliced == "21" and view.panels()[0].lengths == [["268", 1]]
    assert plan.record["seams"] == [] and plan.record["weakest"] is None


def test_its_page_tells_panels_slices_and_that_no_planer_takes_it(owner_client, plan):
    page = words_of(owner_client.get(plan.get_absolute_url()).content.decode())
    assert "never goes through a thickness planer" in page and "Panels to glue, for all 3 boards" in page
    assert "2, turned end for end" in page and "7, 1 spare" in page
    assert "Slices in a board 5" in page and "Of end grain both ways lie across the grain" in page
    assert "How much further each" not in page and "Along the grain a board hardly changes" not in page


def test_what_is_gauged_of_a_tile_is_refused_for_slices(plan):
    with pytest.raises(AsMadeError, match="slices of panels"):
        remeasured(plan.record, Measured(mm("16.9")), shop_of(the_workshop()))


def test_a_panel_thicker_than_its_wood_is_refused_where_the_pitch_was_typed(owner_client, design):
    typed = typed_board(method="panels", side_border="0", end_border="0", pitch="40")
    page = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed)
    assert page.status_code == 422
    assert "panels are 41.3" in page.context["form"].errors["pitch"][0]


def test_a_cut_plan_of_its_strips_is_kept_and_says_that_slices_come_after(owner, owner_client):
    kept = plan_and_rack(owner, each=6, long=1200, method="panels")
    search = ask_for_plan(who=owner, cutting=cutting(kept), wishes={"pair_borders": True})
    sheet = keep_plan_of(who=owner, cutting=cutting(kept), search=search)
    for name in ("cut_sheet", "cut_as_made"):
        words = words_of(owner_client.get(reverse(f"plans:{name}", args=[kept.pk, sheet.pk])).content.decode())
        assert "rows of this board are slices of panels" in words
        assert "Gauge a tile" not in words and "The tolerance that matters" not in words
    assert sheets_that_do_not_hold() == []
