"""The bench at work, not only as it opens: axe, touch, narrow screens, colours of the reader's own."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.bench import at_the_bench, choose, draw, rows
from tests.support.browser import axe_findings, sideways
from tests.support.shop import add_woods, design_with_pattern

SIZES = ["laptop", "tablet", "phone", "narrow"]


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return f"/designs/{design_with_pattern(owner).pk}/bench/"


@pytest.fixture
def at_work(open_page, address):
    """A bench with a loose tile pointed out, a drawing kept, a part in hand and everything folded away opened."""

    def start(size: str, scheme: str = "light"):
        page = at_the_bench(open_page(address, size, scheme))
        choose(page, "Lay a block", "Black walnut")
        draw(page, (2, 2), (5, 5))
        choose(page, "Lay tiles", "Padauk")
        draw(page, (3, 4))
        page.get_by_role("button", name="Keep this drawing").click()
        expect(page.locator("#bench-told")).to_contain_text("Drawing 2 is kept.")
        expect(page.locator("#bench-hints li").first).to_be_visible()
        expect(page.locator("#bench-figures")).to_contain_text("Hours, likely")
        choose(page, "Lift and move")
        draw(page, (2, 2), (3, 3))
        draw(page, (2, 2), (1, 1))
        page.evaluate("document.querySelectorAll('#bench details').forEach(d => d.open = true)")
        return page

    return start


@pytest.mark.parametrize("size", SIZES)
def test_axe_finds_nothing_at_work_and_nothing_is_pushed_sideways(at_work, size):
    page = at_work(size)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert axe_findings(page) == [], scheme
    assert sideways(page) == 0


def test_what_is_chosen_is_told_in_colours_of_the_readers_own(at_work):
    """Where the browser paints every ground alike, the chosen verb and plank wear a line the others do not."""
    page = at_work("laptop")
    page.emulate_media(forced_colors="active")
    lined = page.evaluate(
        """() => [...document.querySelectorAll('.verbs label, .plank-row')]
            .filter(e => getComputedStyle(e).outlineStyle === 'solid').map(e => e.querySelector('input').value)"""
    )
    assert lined == ["lift", page.locator("[name=plank]:checked").input_value()]


@pytest.mark.parametrize("size", ["phone", "narrow"])
def test_everything_a_finger_presses_is_large_enough(at_work, size):
    """44 pixels a side, as the touch size of the house says."""
    page = at_work(size)
    small = page.evaluate(
        """() => [...document.querySelectorAll('#bench button, #bench label:has(input), #bench > * summary')]
            .filter(e => e.checkVisibility() && !e.closest('.sum'))
            .map(e => [e.textContent.trim(), e.getBoundingClientRect()])
            .filter(([, box]) => Math.round(box.height) < 44 || Math.round(box.width) < 44)
            .map(([words, box]) => `${words}: ${Math.round(box.width)} by ${Math.round(box.height)}`)"""
    )
    assert small == []


@pytest.mark.parametrize("size", SIZES)
def test_taking_a_piece_in_hand_does_not_move_the_drawing_it_is_held_over(open_page, address, size):
    page = at_the_bench(open_page(address, size))
    choose(page, "Lift and move")
    page.evaluate("scrollTo(0, 0)")
    before = page.locator("#bench-sheet").bounding_box()
    draw(page, (2, 2), (3, 3))
    draw(page, (2, 2), (1, 1))
    expect(page.get_by_role("button", name="Lay it here")).to_be_visible()
    assert page.locator("#bench-sheet").bounding_box() == before


def test_text_may_be_spaced_out_without_being_cut_off(at_work):
    """WCAG 2.2, 1.4.12: line height 1.5, letters .12 em, words .16 em apart."""
    page = at_work("narrow")
    page.evaluate(
        """() => { for (const e of document.querySelectorAll('main *')) {
            e.style.setProperty('letter-spacing', '.12em'); e.style.setProperty('word-spacing', '.16em');
            e.style.setProperty('line-height', '1.5'); } }"""
    )
    assert sideways(page) == 0


def test_without_scripts_the_rows_are_written_and_kept(chromium, live_server, fonts, owner, address):
    from django.conf import settings
    from django.test import Client

    from shopapp.designs.models import Design

    client = Client()
    client.force_login(owner)
    name = settings.SESSION_COOKIE_NAME
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page = context.new_page()
    page.goto(address)
    expect(page.get_by_text("Drawing by hand needs scripts")).to_be_visible()
    page.get_by_label("Rows of the pattern").fill("2 padauk, 1 -\n3 sycamore")
    page.get_by_role("button", name="Keep this drawing").click()
    assert Design.objects.get().versions.get(number=2).pattern == "2 padauk, 1 -\n3 sycamore"
    context.close()


def test_the_drawing_is_in_sight_at_every_size_while_the_rest_is_used(open_page, address):
    for size in SIZES:
        page = at_the_bench(open_page(address, size))
        before = rows(page)
        for control in ("Trim", "Turn over"):
            page.get_by_role("button", name=control).scroll_into_view_if_needed()
            expect(page.locator("#bench-sheet")).to_be_in_viewport(ratio=0.95)
        assert rows(page) == before


def test_under_a_strong_magnifier_the_drawing_makes_way(open_page, address):
    """WCAG 2.2, 1.4.10 and 2.4.11: 1280 by 1024 at four times is 320 by 256."""
    page = at_the_bench(open_page(address, "narrow"))
    page.set_viewport_size({"width": 320, "height": 256})
    for name in ("Trim", "Keep this drawing"):
        button = page.get_by_role("button", name=name)
        button.focus()
        box = button.bounding_box()
        hit = page.evaluate(
            "([x, y]) => document.elementFromPoint(x, y)?.textContent",
            [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2],
        )
        assert hit == name
