"""Every wood of the table can be read about before it is bought, and is chosen with its cautions in sight."""

from __future__ import annotations

from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import MARKS, WOODS
from tests.lumber.test_woods_on_hand import typed
from tests.support.shop import add_woods


def page(client, wood_id: str) -> str:
    answer = client.get(reverse("lumber:wood", args=[wood_id]))
    assert answer.status_code == 200
    return unescape(answer.content.decode())


@pytest.mark.parametrize("wood_id", WOODS)
def test_a_wood_not_on_hand_shows_its_values_sources_and_cautions_and_is_not_added(owner_client, wood_id):
    body = page(owner_client, wood_id)
    wood = WOODS[wood_id]
    assert wood.scientific_name in body and "stand-in" in body and "Food Code" in body
    for caution in wood.cautions:
        assert caution.words in body and caution.source in body
    assert f"{reverse('lumber:add')}?wood={wood_id}" in body
    assert WoodOnHand.objects.count() == 0


def test_open_pores_and_soft_wood_are_said_where_food_lies(owner_client):
    assert "Open pores hold residue" in page(owner_client, "oak-northern-red")
    assert "it dents and scores easily" in page(owner_client, "basswood")
    assert "Open pores" not in page(owner_client, "maple-hard")


def test_what_is_not_in_the_table_is_not_found_and_what_is_not_on_hand_is_not_changed(owner_client):
    assert owner_client.get(reverse("lumber:wood", args=["plywood"])).status_code == 404
    assert owner_client.post(reverse("lumber:wood", args=["beech"]), typed()).status_code == 404


def test_the_chosen_wood_and_the_others_stand_with_their_cautions(owner_client):
    body = owner_client.get(reverse("lumber:add"), {"wood": "padauk"}).content.decode()
    assert '<option value="padauk" selected>' in body
    assert f"What to know of {WOODS['padauk'].name}" in body
    assert "bleed" in body.split("<form")[2]
    # A wood refused comes back with what is to be known of it.
    refused = owner_client.post(reverse("lumber:add"), typed(wood="teak", price="dear"))
    assert f"What to know of {WOODS['teak'].name}" in refused.content.decode()


def test_a_shop_with_every_wood_is_told_so(owner_client):
    for wood_id in WOODS:
        add_woods(wood_id)
        WoodOnHand.objects.filter(wood=wood_id).update(on_hand=False)
    body = owner_client.get(reverse("lumber:add")).content.decode()
    assert "Every wood of the table is among yours" in body and "Add this wood" not in body


@pytest.mark.parametrize(("name", "args"), [("lumber:add", []), ("lumber:wood", ["beech"]), ("lumber:wood", ["teak"])])
def test_pages_of_woods_take_as_many_queries_with_many_woods_as_with_few(owner_client, name, args):
    taken = []
    for woods in (["beech"], ["sapele", "padauk", "sycamore", "birch-yellow"]):
        add_woods(*woods) if woods == ["beech"] else _add_with_other_marks(woods)
        with CaptureQueriesContext(connection) as queries:
            assert owner_client.get(reverse(name, args=args)).status_code == 200
        taken.append(len(queries))
    assert taken[0] == taken[1] <= 6


def _add_with_other_marks(woods: list[str]) -> None:
    beech = WoodOnHand.objects.get()
    for wood_id, mark in zip(woods, list(MARKS)[1:], strict=False):
        WoodOnHand.objects.create(
            wood=wood_id, name=WOODS[wood_id].name, price=beech.price, rough_thickness=beech.rough_thickness,
            rough_width=beech.rough_width, finished_rgb=beech.finished_rgb, mark=mark,
        )  # fmt: skip
