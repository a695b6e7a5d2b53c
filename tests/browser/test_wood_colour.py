"""Card and wood are tapped in a photo with a finger, moved with the arrow keys, and sent without any script."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from shopapp.lumber.colours.actions import SampleFacts, keep_colour
from shopapp.lumber.models import WoodColour
from tests.support.browser import axe_findings
from tests.support.patience import settled
from tests.support.shop import add_woods
from tests.support.wood_photos import IN_DAYLIGHT, photo, photo_to_tap


@pytest.fixture
def brought(owner, transactional_db):
    add_woods("padauk", "sapele")
    return photo_to_tap(owner, "padauk")


def middle_of(page, share: float) -> tuple[float, float]:
    box = page.locator(".sample-stage img").bounding_box()
    return box["x"] + box["width"] * share, box["y"] + box["height"] / 2


def test_a_finger_taps_the_card_then_the_wood_and_the_colour_is_seen_and_kept(open_page, brought):
    page = open_page(brought.get_absolute_url(), "phone")
    expect(page.locator("#swatch")).to_contain_text("Tap the card and the wood")
    page.touchscreen.tap(*middle_of(page, 0.25))
    expect(page.get_by_role("radio", name="the wood")).to_be_checked()
    settled(page)
    page.touchscreen.tap(*middle_of(page, 0.75))
    expect(page.locator("#swatch")).to_contain_text("In the photo")
    assert page.locator("#swatch .plank svg").first.inner_html().count(IN_DAYLIGHT)
    assert axe_findings(page) == []
    assert WoodColour.objects.count() == 0
    page.get_by_label("You call it").fill("by the vice")
    page.get_by_role("button", name="Keep this colour").tap()
    expect(page.locator(".told")).to_contain_text(f"the colour of your oiled piece, {IN_DAYLIGHT}")
    kept = WoodColour.objects.get()
    places = kept.places
    assert abs(places["card"][0] - 150) <= 2 and abs(places["wood"][0] - 450) <= 2
    assert (kept.piece, kept.state, kept.seen_on) == ("by the vice", "oiled", timezone.localdate())


def test_the_same_piece_is_photographed_once_more_and_both_lie_edge_to_edge(open_page, owner, brought):
    """By finger: from the piece to another photo of it, an older one, and back to both beside each other."""
    from shopapp.common.tasks import run_waiting_tasks

    today = timezone.localdate()
    row = brought.wood
    keep_colour(
        who=owner,
        row=row,
        photo=brought,
        card="white",
        places={"card": (150, 200), "wood": (450, 200)},
        seen_version=row.edit_version,
        facts=SampleFacts(piece="by the vice", seen_on=today - timedelta(days=100)),
    )
    page = open_page("/woods/padauk/colour/", "phone")
    page.get_by_role("link", name="Another photo of it").tap()
    expect(page.get_by_role("heading", name="Another photo of by the vice")).to_be_in_viewport()
    lighter = photo(wood=(140, 100, 62), kind="JPEG")
    page.get_by_label("The photo", exact=True).set_input_files(
        {"name": "piece.jpg", "mimeType": "image/jpeg", "buffer": lighter}
    )
    page.get_by_role("button", name="Bring this photo").tap()
    expect(page.locator(".waiting")).to_be_visible()
    run_waiting_tasks()
    expect(page.locator(".sample-stage img")).to_be_visible()
    expect(page.get_by_label("You call it")).to_have_value("by the vice")
    # The page came anew with the photo: its scripts come after the words.
    page.wait_for_load_state()
    for share, name in ((0.25, "Card"), (0.75, "Wood")):
        page.locator(".sample-stage").scroll_into_view_if_needed()
        page.touchscreen.tap(*middle_of(page, share))
        expect(page.get_by_role("button", name=f"{name}, not set yet")).to_have_count(0)
        settled(page)
    expect(page.locator("#swatch")).to_contain_text("Shown now")
    page.get_by_label("The photo is of").fill(str(today - timedelta(days=16)))
    page.get_by_label("The wood is shown like it").uncheck()
    assert axe_findings(page) == []
    page.get_by_role("button", name="Keep this colour").tap()
    expect(page.locator(".told")).to_contain_text("Padauk is shown oiled as before")
    expect(page.locator(".told")).to_be_in_viewport()
    samples = page.locator(".ages-row li")
    expect(samples).to_have_count(2)
    expect(samples.last).to_contain_text("12 weeks later: like another wood, lighter")
    first, last = (samples.nth(i).locator("svg").bounding_box() for i in (0, 1))
    assert abs(first["x"] + first["width"] - last["x"]) < 1 and first["y"] == last["y"]
    assert page.locator(".ages-plank svg").last.inner_html().count(WoodColour.objects.latest("pk").rgb)
    assert axe_findings(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_dry_is_chosen_and_the_colour_is_shown_beside_the_dry_one(open_page, owner, brought):
    page = open_page(brought.get_absolute_url() + "?card_x=150&card_y=200&wood_x=450&wood_y=200", "tablet")
    expect(page.locator("#swatch")).to_contain_text("Stand-in now")
    page.get_by_label("The piece is").select_option("dry")
    expect(page.locator("#swatch")).to_contain_text("Oiled, for comparison")
    page.get_by_label("You call it").fill("by the vice")
    page.get_by_role("button", name="Keep this colour").tap()
    expect(page.locator(".told")).to_contain_text(f"in the colour of your piece where it is dry, {IN_DAYLIGHT}")
    brought.wood.refresh_from_db()
    assert brought.wood.colour_is_stand_in and WoodColour.objects.get().state == "dry"


def test_the_arrow_keys_move_card_and_wood_and_each_place_is_spoken(open_page, brought):
    page = open_page(brought.get_absolute_url())
    card, wood = page.get_by_role("button", name="Card,"), page.get_by_role("button", name="Wood,")
    expect(card).to_have_accessible_name("Card, not set yet")
    card.focus()
    page.keyboard.press("Enter")
    expect(card).to_have_accessible_name("Card, 25 % from the left, 50 % from the top")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    # Steps of a hundredth of the longer side, with Shift of a twentieth.
    expect(page.get_by_label("Card, from the left")).to_have_value("156")
    expect(page.get_by_label("Card, from the top")).to_have_value("170")
    expect(page.locator("#status")).to_have_text("Card, 26 % from the left, 43 % from the top")
    wood.focus()
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_label("Wood, from the left")).to_have_value("444")
    expect(page.locator("#swatch")).to_contain_text("In the photo")
    for _ in range(60):
        page.keyboard.press("Shift+ArrowLeft")
    expect(page.get_by_label("Wood, from the left")).to_have_value("0")


def test_written_numbers_move_the_rings_and_wrong_ones_are_told(open_page, brought):
    page = open_page(brought.get_absolute_url(), expect="422")
    for label, value in (("Card, from the left", "150"), ("Card, from the top", "200")):
        page.get_by_label(label).fill(value)
    expect(page.get_by_role("button", name="Card, 25 % from the left, 50 % from the top")).to_be_visible()
    page.get_by_label("Wood, from the left").fill("155")
    page.get_by_label("Wood, from the top").fill("200")
    page.get_by_label("The card is").select_option("grey")
    expect(page.locator("#swatch")).to_contain_text("tapped at the same place")
    page.get_by_role("button", name="Keep this colour").click()
    expect(page.locator("#error-summary")).to_be_focused()
    expect(page.get_by_label("Card, from the left")).to_have_value("150")
    expect(page.get_by_label("The card is")).to_have_value("grey")


def test_without_script_the_photo_itself_is_the_button(open_page, brought):
    signed_in = open_page("/woods/").context
    context = signed_in.browser.new_context(
        base_url=open_page("/woods/").url.split("/woods/")[0],
        java_script_enabled=False,
        storage_state=signed_in.storage_state(),
    )
    page = context.new_page()
    page.goto(brought.get_absolute_url())
    for share in (0.25, 0.75):
        tapped = page.locator("input[type=image]")
        page.wait_for_load_state()
        box = tapped.bounding_box()
        assert round(box["width"]) in (280, 282)
        tapped.click(position={"x": box["width"] * share, "y": box["height"] / 2})
    expect(page.locator("#swatch")).to_contain_text("In the photo")
    page.get_by_label("You call it").fill("by the vice")
    page.get_by_role("button", name="Keep this colour").click()
    expect(page.locator(".told")).to_contain_text(IN_DAYLIGHT)
    context.close()


def test_a_photo_is_brought_and_the_page_follows_the_worker(open_page, brought):
    from shopapp.common.tasks import run_waiting_tasks

    page = open_page("/woods/sapele/colour/", "phone")
    picked = {"name": "piece.jpg", "mimeType": "image/jpeg", "buffer": photo(kind="JPEG")}
    page.get_by_label("The photo").set_input_files(picked)
    page.get_by_role("button", name="Bring this photo").tap()
    expect(page.locator(".waiting")).to_contain_text("waits for its turn")
    assert axe_findings(page) == []
    run_waiting_tasks()
    expect(page.locator(".sample-stage img")).to_be_visible()
