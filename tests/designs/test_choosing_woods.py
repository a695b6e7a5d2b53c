"""Every colour gets a wood or is background; another choice is another drawing."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.planning import pattern_from_text
from shopapp.designs.woods.readers import wood_choices
from tests.support.shop import FLAG, add_woods, design_with_pattern, picture, typed_woods, upload


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = bring_picture(who=owner, name="Flag", upload=upload(picture(FLAG)))
    run_waiting_tasks()
    design.refresh_from_db()
    return design


def keep(client, design, woods, **more):
    return client.post(reverse("designs:woods", args=[design.pk]), typed_woods(design, woods, **more))


def test_different_colours_are_suggested_different_woods_while_woods_last(owner_client, design):
    page = owner_client.get(reverse("designs:woods", args=[design.pk])).context["page"]
    assert [row.wood.value() for row in page.rows] == ["walnut-black", "birch-yellow", "padauk"]


def test_the_pattern_kept_holds_the_woods_that_were_chosen(owner_client, design):
    keep(owner_client, design, ["walnut-black", "", "sycamore"])
    pattern = pattern_from_text(PatternVersion.objects.get().pattern)
    # The flag's 11 dark cells, one red one, and its three yellow ones made background.
    assert pattern.counts() == {"walnut-black": FLAG.count("k"), "sycamore": FLAG.count("r")}
    assert pattern.background == FLAG.count(".") + FLAG.count("y")


def test_the_drawing_has_a_twin_in_words_the_tiles_of_each_wood(owner_client, design):
    address = reverse("designs:woods", args=[design.pk])
    typed = typed_woods(design, wood_choices(design).suggestion, look="1")
    for answer in (owner_client.get(address), owner_client.post(address, typed, HTTP_HX_REQUEST="true")):
        counts = {name: count for name, _, count in answer.context["preview"].counts}
        # The flag is six by six: twelve dark tiles, three light, one red; the rest around it is background.
        assert sorted(counts.values()) == [1, 3, 12, 20] and counts["background"] == 20
        body = answer.content.decode()
        assert all(f'{name}</th><td class="n">{count}<' in body for name, count in counts.items())


def test_a_look_says_what_stands_in_its_way(owner_client, design):
    answer = keep(owner_client, design, ["walnut-black", "", ""], margin="many", look="1")
    assert answer.status_code == 422
    assert "“many” is not a whole number" in answer.content.decode()


def test_another_choice_is_another_drawing_and_the_first_one_stays(owner_client, design):
    keep(owner_client, design, ["walnut-black", "birch-yellow", "padauk"])
    keep(owner_client, design, ["walnut-black", "birch-yellow", "sycamore"], margin="2")
    first, second = PatternVersion.objects.order_by("number")
    assert (first.number, second.number) == (1, 2)
    assert (second.height, second.width) == (first.height + 4, first.width + 4)


def test_a_look_follows_the_choice_and_keeps_nothing(owner_client, design):
    for headers in ({}, {"HTTP_HX_REQUEST": "true"}):
        typed = typed_woods(design, ["walnut-black", "", ""], look="1")
        answer = owner_client.post(reverse("designs:woods", args=[design.pk]), typed, **headers)
        assert answer.status_code == 200
        counts = {name: count for name, _, count in answer.context["preview"].counts}
        assert counts == {"Black walnut": FLAG.count("k"), "background": 36 - FLAG.count("k")}
    assert PatternVersion.objects.count() == 0


@pytest.mark.parametrize(
    ("choices", "margin", "words"),
    [
        (["", "", ""], "0", "Every colour is background"),
        (["teak", "", ""], "0", "not on hand"),
        (["walnut-black", "", ""], "many", "whole number"),
        (["walnut-black", "", ""], "21", "most is 20"),
    ],
)
def test_a_choice_that_makes_no_pattern_is_said_and_nothing_is_kept(owner_client, design, choices, margin, words):
    answer = keep(owner_client, design, choices, margin=margin)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert PatternVersion.objects.count() == 0


def test_two_hundred_colours_and_three_woods_make_a_pattern(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow")
    inks = {chr(0x4E00 + i): (i, 255 - i, (7 * i) % 256) for i in range(200)}
    rows = ["".join(list(inks)[r * 20 : r * 20 + 20]) for r in range(10)]
    design = bring_picture(who=owner, name="Many", upload=upload(picture("\n".join(rows), 2, inks)))
    run_waiting_tasks()
    design.refresh_from_db()
    page = owner_client.get(reverse("designs:woods", args=[design.pk])).context["page"]
    chosen = [row.wood.value() for row in page.rows]
    assert len(chosen) == 200
    keep(owner_client, design, chosen, margin="1")
    assert set(pattern_from_text(PatternVersion.objects.get().pattern).counts()) == {
        "sycamore", "walnut-black", "birch-yellow"
    }  # fmt: skip


def test_without_woods_on_hand_the_page_says_where_to_add_them(owner, owner_client):
    design = bring_picture(who=owner, name="Flag", upload=upload(picture()))
    run_waiting_tasks()
    page = owner_client.get(reverse("designs:woods", args=[design.pk])).content.decode()
    assert "no woods on hand" in page.lower() and reverse("lumber:add") in page


def test_a_design_set_aside_leaves_the_list_and_comes_back(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    address = reverse("designs:set_aside", args=[design.pk])
    owner_client.post(address, {"aside": "1", "form_key": secrets.token_urlsafe(24)})
    assert owner_client.get(reverse("designs:woods", args=[design.pk])).status_code == 404
    assert "Flag" in owner_client.get(reverse("designs:aside")).content.decode()
    owner_client.post(address, {"aside": "0", "form_key": secrets.token_urlsafe(24)})
    assert not Design.objects.get().set_aside
