"""Woods chosen with a finger on a phone: a way taken, a colour that stays, a wood left out, near colours made one."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import PatternVersion
from shopapp.designs.pictures.actions import bring_picture
from tests.support.browser import axe_findings, sideways, tab_walk
from tests.support.shop import add_woods, picture, upload

# A pale face with a shadow, dark hair, a red cap and a collar nearly of the face's own colour.
INKS = {"h": (52, 36, 30), "f": (236, 200, 160), "s": (206, 160, 118), "c": (178, 52, 34), "l": (230, 196, 160)}
FACE = """
..cccccc..
.cccccccc.
.hhhhhhhh.
.hffffffh.
.hfhffhfh.
.hffffffs.
..ffssffs.
..ffffss..
...llll...
..llllll..
"""


@pytest.fixture
def face(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk", "beech", "sapele")
    design = bring_picture(who=owner, name="Face", upload=upload(picture(FACE, inks=INKS)))
    run_waiting_tasks()
    return f"/designs/{design.pk}/woods/"


def row(page, number: int):
    """The field that gives a colour its wood."""
    return page.get_by_label(f"Colour {number},")


def test_a_way_is_taken_colours_are_changed_and_the_drawing_is_kept(open_page, face):
    page = open_page(face, "phone")
    before = page.locator("#preview .pattern").inner_html()
    page.get_by_role("button", name="Take these True to the colours").tap()
    expect(page.get_by_role("button", name="Taken True to the colours")).to_be_visible()
    expect(page.locator("#preview .pattern")).not_to_have_js_property("innerHTML", before)
    expect(page.locator("#status")).to_contain_text("of 100 parts of the edges kept")
    row(page, 1).select_option(label="Padauk")
    expect(page.locator("#preview .sums")).to_contain_text("Padauk")
    expect(page.locator(".match-taken")).to_have_count(0)
    assert sideways(page) == 0
    page.get_by_role("button", name="Keep this pattern").tap()
    expect(page.get_by_text("Drawing 1 is kept")).to_be_visible()
    assert "padauk" in PatternVersion.objects.get().choices["woods"].values()


def test_a_wood_left_out_and_a_colour_that_stays_are_matched_around(open_page, face):
    page = open_page(face, "phone")
    page.get_by_text("Near colours, and woods to leave out").tap()
    page.get_by_role("checkbox", name="Black walnut").tap()
    expect(page.locator("#preview")).to_contain_text("still in Black walnut, which is left out")
    expect(page.locator("#ways")).not_to_contain_text("Black walnut")
    row(page, 1).select_option(label="American beech")
    expect(page.locator("#status")).to_contain_text("American beech")
    shown = page.locator("[name=ways_shown]").input_value()
    page.get_by_role("checkbox", name="Colour 1 stays").tap()
    expect(page.locator("[name=ways_shown]")).not_to_have_value(shown)
    # Whichever way is taken now, the first colour is in beech.
    expect(page.locator("#ways .match-tiles").first).to_contain_text("American beech")
    expect(page.locator("#ways .match-tiles").last).to_contain_text("American beech")
    page.locator(".match button").last.tap()
    expect(page.locator(".match").last).to_have_class("match match-taken")
    expect(row(page, 1)).to_have_value("beech")
    expect(page.locator("#preview")).not_to_contain_text("left out this time")


def test_a_press_that_comes_before_the_last_answer_is_not_lost(open_page, face):
    page = open_page(face, "phone")
    page.get_by_text("Near colours, and woods to leave out").tap()

    held = []
    page.route("**/woods/", lambda route: held.append(route), times=1)
    with page.expect_request("**/woods/"):
        page.get_by_role("checkbox", name="Padauk").tap()
    other = page.locator(".match[data-place]:not(.match-taken)").first
    place = other.get_attribute("data-place")
    other.get_by_role("button").tap()
    held[0].continue_()
    expect(page.locator(f".match[data-place='{place}']")).to_have_class("match match-taken")


def test_near_colours_become_one_row_by_the_slider_and_one_group_is_kept_apart(open_page, face):
    page = open_page(face, "phone")
    page.get_by_text("Near colours, and woods to leave out").tap()
    expect(page.locator("#colours li")).to_have_count(5)
    slider = page.get_by_label("How near, by hand")
    slider.fill("6")
    expect(page.locator("#id_within")).to_have_value("6")
    expect(page.locator("#colours li")).to_have_count(4)
    expect(page.locator("#near")).to_contain_text("5 colours become 4")
    page.get_by_role("checkbox", name="keep apart").tap()
    expect(page.locator("#colours li")).to_have_count(5)


def test_fewer_woods_are_taken_with_one_press_and_the_focus_stays_on_the_button(open_page, face):
    page = open_page(face, "phone")
    page.get_by_role("button", name="Take 2 woods").tap()
    taken = page.get_by_role("button", name="Taken 2 woods")
    expect(taken).to_be_focused()
    expect(page.locator("#preview .sums .plank")).to_have_count(2)


def test_enter_in_a_number_looks_and_never_takes_or_keeps(open_page, face):
    page = open_page(face)
    page.get_by_label("Background added on every side").fill("3")
    page.keyboard.press("Enter")
    expect(page.locator("#preview .sums")).to_contain_text("16 rows of 16")
    assert PatternVersion.objects.count() == 0


def test_what_cannot_be_read_is_told_beside_its_field_and_mended_by_typing_on(open_page, face):
    page = open_page(face)
    margin = page.get_by_label("Background added on every side")
    margin.fill("many")
    margin.blur()
    expect(page.locator("#id_margin_error")).to_contain_text("is not a whole number")
    expect(page.locator("#errors")).to_contain_text("One thing to mend")
    margin.fill("2")
    margin.blur()
    expect(page.locator("#id_margin_error")).to_be_empty()
    expect(page.locator("#preview .pattern")).to_be_visible()


@pytest.mark.parametrize("size", ["laptop", "narrow"])
def test_the_whole_page_opened_passes_axe_in_light_and_dark_and_is_walked_with_tab(open_page, face, size):
    page = open_page(face, size)
    page.get_by_text("Near colours, and woods to leave out").click()
    page.locator("#id_within").fill("6")
    page.locator("#id_within").blur()
    expect(page.locator("#near")).to_contain_text("become")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert axe_findings(page) == []
    assert sideways(page) == 0
    stops = tab_walk(page)
    places = [stop["place"] for stop in stops]
    assert places == sorted(places) and all(stop["outlined"] and stop["seen"] for stop in stops)


def test_without_scripts_a_way_is_taken_and_kept_by_buttons_alone(chromium, live_server, fonts, owner, face):
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("#id_username", "mara")
    page.fill("#id_password", "a long enough password")
    page.click("main button")
    page.goto(face)
    page.get_by_text("Near colours, and woods to leave out").click()
    page.fill("#id_within", "6")
    page.get_by_role("button", name="Match again").click()
    expect(page.locator("#colours li")).to_have_count(4)
    page.get_by_role("button", name="Take 2 woods").click()
    expect(page.get_by_role("button", name="Taken 2 woods")).to_be_visible()
    page.get_by_role("button", name="Keep this pattern").click()
    expect(page.get_by_text("Drawing 1 is kept")).to_be_visible()
    context.close()
