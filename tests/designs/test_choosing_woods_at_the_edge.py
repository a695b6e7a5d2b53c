"""Pictures with hardly anything to choose for, and forms nobody would send, are answered in words."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shopapp.common.images import store_image
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import WoodOnHand
from tests.support.shaded import shaded
from tests.support.shop import INKS, add_woods, picture, typed_woods


def design_of(drawing: str) -> Design:
    image = store_image(picture(drawing, 1, INKS), purpose="grid")
    reading = {"rows": image.height, "columns": image.width, "scale": 1, "kind": "native", "seen": []}
    return Design.objects.create(name="Edge", original=image, shown=image, grid=image, reading=reading)


def address(design):
    return reverse("designs:woods", args=[design.pk])


@pytest.fixture
def woods(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")


def test_one_colour_is_matched_one_way_and_kept(owner_client, woods):
    design = design_of("kk kk")
    page = owner_client.get(address(design)).context["page"]
    assert [way.name for way in page.ways] == ["Matched to the picture"]
    # Its sides have no background, so a tile of it is offered around.
    assert page.say.margin == 1
    assert owner_client.post(address(design), typed_woods(design, page.worn)).status_code == 302


def test_a_grid_of_background_alone_says_there_is_nothing_to_choose_for(owner_client, woods):
    design = design_of(".. ..")
    body = owner_client.get(address(design)).content.decode()
    assert "nothing but background" in body
    answer = owner_client.post(address(design), typed_woods(design, []))
    assert answer.status_code == 422 and PatternVersion.objects.count() == 0


def test_one_wood_on_hand_carries_every_colour_and_the_edges_lost_are_told(owner_client, owner):
    add_woods("walnut-black")
    design = design_of("....\n.kr.\n.yk.\n....")
    page = owner_client.get(address(design)).context["page"]
    assert set(page.worn) == {"walnut-black"} and page.preview.scores.kept == 0
    assert any(words.startswith("In Black walnut an edge of 4 sides is lost") for words in page.preview.melts)
    assert any("outline is lost" in words for words in page.preview.melts)


def test_when_every_wood_ran_out_after_a_drawing_the_page_says_where_to_add_them(owner_client, woods):
    design = design_of("kr yk")
    page = owner_client.get(address(design)).context["page"]
    owner_client.post(address(design), typed_woods(design, page.worn))
    WoodOnHand.objects.update(on_hand=False)
    answer = owner_client.get(address(design))
    assert answer.status_code == 200 and "no woods on hand" in answer.content.decode().lower()


def test_a_picture_of_the_largest_side_begins_without_added_background(owner_client, woods):
    design = design_of("\n".join(["k" * 200] * 3))
    page = owner_client.get(address(design)).context["page"]
    assert page.say.margin == 0 and not page.preview.trouble


@pytest.mark.parametrize("odd", ["", "-1", "41", "1e9", "x", "٣"])
def test_a_nearness_that_is_none_is_told_beside_its_field(owner_client, woods, odd):
    design = design_of("kr yk")
    answer = owner_client.post(address(design), typed_woods(design, ["padauk"] * 3, within=odd))
    assert answer.status_code == 422 and PatternVersion.objects.count() == 0
    assert answer.context["form"].errors["within"]


def test_nonsense_in_what_is_carried_unseen_is_answered_in_words(owner_client, woods):
    design = design_of("kr yk")
    for name in ("take", "look", "grid", "edit_version", "ways_shown", "rows_shown", "wood_zzzzzz", "bar_teak"):
        for odd in ("", "a\x00b", "x" * 5000, "-1", "line-nan", "few-", "9" * 30):
            for headers in ({}, {"HTTP_HX_REQUEST": "true"}):
                typed = typed_woods(design, ["padauk", "", "sycamore"], **{"look": "1", name: odd})
                answer = owner_client.post(address(design), typed, **headers)
                assert answer.status_code in (200, 302, 422), (name, odd)


def test_where_no_count_of_woods_can_be_read_it_is_tried_truer_to_the_shapes_before_that_is_said(owner_client, owner):
    add_woods("sycamore", "birch-yellow", "walnut-black")
    image = store_image(shaded(24, 14, 0.05), purpose="grid")
    design = Design.objects.create(name="Dunes", original=image, shown=image, grid=image, reading={})
    answer = owner_client.get(address(design))
    page = answer.context["page"]
    assert not next(way for way in page.ways if way.suggested).scores.kept >= 75
    assert page.least is not None and page.least.kept >= 75
    assert "keep the picture to be read" in answer.content.decode()


def test_where_no_woods_keep_enough_of_the_picture_it_says_so(owner_client, owner):
    add_woods("sycamore", "birch-yellow")
    image = store_image(shaded(24, 14, 0.05), purpose="grid")
    design = Design.objects.create(name="Dunes", original=image, shown=image, grid=image, reading={})
    answer = owner_client.get(address(design))
    assert answer.context["page"].least is None
    assert "too much of the picture is lost" in answer.content.decode()
