"""From a picture file to a shop book, as a maker does it, at a laptop, a tablet and a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from shopapp.common.tasks import run_waiting_tasks
from shopapp.plans.models import Plan
from tests.support.browser import sideways
from tests.support.shop import add_woods, design_with_pattern, picture


@pytest.fixture
def design(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


@pytest.mark.parametrize("size", ["laptop", "tablet", "phone"])
def test_a_picture_becomes_a_plan_and_a_paper(open_page, tmp_path, size):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    file = tmp_path / "flag.png"
    file.write_bytes(picture())
    page = open_page("/designs/", size, signed_in=False)

    def press(role: str, name: str) -> None:
        target = page.get_by_role(role, name=name)
        target.click() if size == "laptop" else target.tap()

    page.get_by_label("Name").fill("mara")
    page.get_by_label("Password").fill("a long enough password")
    press("button", "Sign in")
    press("link", "Bring a picture")
    page.get_by_label("Name").fill("Creek flag")
    page.get_by_label("Picture").set_input_files(file)
    press("button", "Read its grid")
    expect(page.get_by_text("waits for its turn")).to_be_visible()
    run_waiting_tasks()
    expect(page.get_by_text("As read: 6 rows of 6")).to_be_visible()
    brought, read = (
        page.get_by_alt_text("The picture as it was brought"),
        page.get_by_alt_text("The grid it has now"),
    )
    expect(brought).to_be_visible()
    expect(read).to_be_visible()
    if size == "laptop":
        assert brought.bounding_box()["x"] + brought.bounding_box()["width"] <= read.bounding_box()["x"]
    press("link", "Look over its grid")
    expect(page.locator("#size")).to_have_text("6 rows of 6, 4 px a square")
    press("button", "The grid is right")
    expect(page.get_by_text("Grid 1 is kept")).to_be_visible()

    # The words are there before the scripts are.
    page.wait_for_load_state()
    before = page.locator("#preview .pattern").inner_html()
    page.get_by_label("Colour 1,").select_option(label="American sycamore")
    expect(page.locator("#preview .pattern")).not_to_have_js_property("innerHTML", before)
    page.get_by_label("Colour 1,").select_option(label="Black walnut")
    expect(page.locator("#preview .pattern")).to_have_js_property("innerHTML", before)
    press("button", "Keep this pattern")
    expect(page.get_by_text("Drawing 1 is kept")).to_be_visible()

    press("link", "Reckon the board")
    expect(page.locator("#board")).to_contain_text("204 mm")
    assert sideways(page) == 0
    press("button", "Keep this plan")
    expect(page.get_by_text("The plan is kept")).to_be_visible()
    press("link", "Shop book")
    expect(page.get_by_text("No cut plan is kept,")).to_be_visible()
    press("button", "Make the shop book")
    expect(page.get_by_text("being made")).to_be_visible()
    assert sideways(page) == 0
    run_waiting_tasks()
    link = page.get_by_role("link", name="Open the shop book")
    expect(link).to_be_visible()
    paper = page.request.get(link.get_attribute("href"))
    assert paper.ok and paper.body().startswith(b"%PDF")
    assert Plan.objects.count() == 1


def test_a_change_is_reckoned_in_place_and_the_field_keeps_the_focus(open_page, design):
    page = open_page(f"/plans/reckon/{design.pk}/")
    price = page.locator("#pays .big")
    before = price.inner_text()
    pitch = page.get_by_label("Pitch of a tile")
    pitch.fill("25")
    # Six columns of 25 mm and two borders of 51 mm.
    expect(page.locator("#board")).to_contain_text("252 mm")
    expect(price).not_to_have_text(before)
    expect(pitch).to_be_focused()
    expect(page).to_have_url(re.compile("pitch=25"))
    expect(page.locator("#status")).to_contain_text("of work")
    page.get_by_label("Built as").select_option(label="single tiles")
    expect(page.locator("#wood")).to_contain_text("Pieces in a board")


def test_an_impossible_pitch_is_said_beside_its_field_and_mended_by_typing_on(open_page, design):
    page = open_page(f"/plans/reckon/{design.pk}/")
    pitch = page.get_by_label("Pitch of a tile")
    pitch.fill("2")
    expect(page.locator("#id_pitch_error")).to_contain_text("the crosscut blade takes")
    expect(pitch).to_have_attribute("aria-invalid", "true")
    expect(pitch).to_have_value("2")
    expect(page.locator("#errors")).to_contain_text("One thing to mend")
    pitch.fill("20")
    expect(page.locator("#id_pitch_error")).to_be_empty()
    expect(page.locator("#board")).to_contain_text("222 mm")
    expect(pitch).not_to_have_attribute("aria-invalid", "true")


def test_a_figure_opens_its_sum(open_page, design):
    page = open_page(f"/plans/reckon/{design.pk}/")
    panel = page.locator("#pays")
    expect(panel.get_by_role("rowheader", name="Yours to keep")).to_be_visible()
    panel.locator("summary", has_text="how?").first.click()
    expect(panel.locator("details[open]").get_by_text("the smallest price").first).to_be_visible()


def test_settings_and_a_wood_are_kept_by_keyboard_alone(open_page):
    page = open_page("/workshop/safe/")
    page.get_by_label("Crosscut kerf").press("Control+a")
    page.keyboard.type('3/32"')
    page.keyboard.press("Enter")
    expect(page.get_by_text("Saw and safe limits kept")).to_be_visible()
    page.goto("/woods/add/")
    page.get_by_label("It costs").focus()
    page.keyboard.type("14.50")
    page.keyboard.press("Enter")
    expect(page.get_by_text("is among your woods")).to_be_visible()


def test_a_refused_form_takes_the_focus_to_its_summary_and_keeps_what_was_typed(open_page):
    page = open_page("/workshop/hours/", expect="422")
    page.get_by_label("Your hour is worth").fill("nothing much")
    page.get_by_role("button", name="Keep these settings").click()
    summary = page.locator("#error-summary")
    expect(summary).to_be_focused()
    expect(page.get_by_label("Your hour is worth")).to_have_value("nothing much")
    summary.get_by_role("link").first.click()
    expect(page.get_by_label("Your hour is worth")).to_be_focused()
    assert page.title().startswith("Error: ")


def test_pages_work_without_scripts(chromium, live_server, fonts, owner, design):
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("#id_username", "mara")
    page.fill("#id_password", "a long enough password")
    page.click("main button")
    page.goto(f"/plans/reckon/{design.pk}/")
    page.fill("#id_pitch", "30")
    page.get_by_role("button", name="Reckon", exact=True).click()
    expect(page.locator("#board")).to_contain_text("282 mm")
    page.get_by_role("button", name="Keep this plan").click()
    expect(page.get_by_text("The plan is kept")).to_be_visible()
    context.close()
