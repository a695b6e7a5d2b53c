"""Working drawings on a phone, a tablet and a laptop: read without zooming, turned over, saved as a file."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.timetable.doors import making_of_plan
from tests.support import work
from tests.support.browser import SIZES, axe_findings, sideways
from tests.support.evenings import kept as keep_evenings
from tests.support.sawing import a_rack, keep
from tests.support.week import a_week

# Smaller than this no words of a drawing may come out, on any screen; those of the page are larger.
LEAST_PX = 10.5


@pytest.fixture
def plan(owner, transactional_db):
    plan = work.kept(owner)
    a_rack(owner)
    keep(owner, cutting_of_plan(plan))
    a_week(owner)
    keep_evenings(owner, making_of_plan(plan.pk))
    return plan


@pytest.mark.parametrize("size", SIZES)
def test_all_drawings_are_seen_whole_and_their_words_are_large_enough(open_page, plan, size):
    page = open_page(f"/plans/{plan.pk}/drawings/", size)
    for address in (f"/plans/{plan.pk}/drawings/", f"/plans/{plan.pk}/drawings/set-ups/?kind=part"):
        page.goto(address)
        assert not sideways(page)
        seen = page.evaluate(
            """() => [...document.querySelectorAll('.working svg')].filter(s => s.checkVisibility()).map(s => {
                const box = s.getBoundingClientRect(), scale = box.width / s.viewBox.baseVal.width;
                const sizes = [...s.querySelectorAll('text')].map(t => +t.getAttribute('font-size') * scale);
                return {left: box.left, right: box.right, least: Math.min(...sizes)};
            })"""
        )
        assert seen
        width = SIZES[size][0]
        for one in seen:
            assert one["left"] >= 0 and one["right"] <= width, one
            # The narrowest screen there is may shrink a phone's drawing by a little.
            assert one["least"] >= LEAST_PX * (0.85 if size == "narrow" else 1), one


def test_the_board_is_turned_over_and_saved_as_it_is_shown(open_page, plan):
    page = open_page(f"/plans/{plan.pk}/drawings/", "phone")
    page.get_by_role("link", name="Glued face down").tap()
    page.wait_for_url("**/drawings/?face=down#laid")
    with page.expect_download() as saving:
        page.get_by_role("link", name=re.compile("Save as SVG.*as it is laid")).tap()
    assert saving.value.suggested_filename == "flag-drawing-1-laid-face-down.svg"
    root = ElementTree.parse(saving.value.path()).getroot()
    assert "face down" in root.get("aria-label")
    assert axe_findings(page) == []


def test_kinds_of_set_up_are_gone_through_one_after_another(open_page, plan):
    page = open_page(f"/plans/{plan.pk}/drawings/", "tablet")
    kinds = page.locator("section[aria-labelledby='set-ups'] a.way").all_inner_texts()
    assert len(kinds) >= 6
    page.get_by_role("link", name=kinds[0]).tap()
    for kind in kinds:
        page.get_by_label("Kinds of set-up").get_by_role("link", name=kind).tap()
        page.get_by_role("heading", level=2, name=kind).wait_for()
        assert page.locator(".working svg:visible").count() >= 1
        assert axe_findings(page) == []
