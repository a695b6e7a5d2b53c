"""Woods are added with the table's words, priced, told apart by marks, and set aside rather than deleted."""

from __future__ import annotations

import secrets
from decimal import Decimal

import pytest
from django.db import IntegrityError
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import WOODS, offers
from tests.support.shop import add_woods


def typed(**changes) -> dict[str, str]:
    return {
        "wood": "walnut-black",
        "name": "",
        "price": "16.50",
        "per": "bf",
        "rough_thickness": "5/4",
        "rough_width": "140",
        "finished_rgb": "",
        "mark": "ring",
        "form_key": secrets.token_urlsafe(24),
        **changes,
    }


def add(client, **changes):
    return client.post(reverse("lumber:add"), typed(**changes))


def test_a_wood_is_added_with_the_tables_name_and_a_stand_in_colour(owner_client):
    assert add(owner_client).status_code == 302
    row = WoodOnHand.objects.get()
    assert (row.name, row.price, row.colour_is_stand_in) == ("Black walnut", Decimal("16.50"), True)
    assert row.rgb == WOODS["walnut-black"].finished_rgb


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("4/4", Length.of_inches(1)),
        ("5/4", Length.of_inches("5/4")),
        ("8/4", Length.of_inches(2)),
        ("27 mm", Length.of_mm(27)),
        ('1 1/4"', Length.of_inches("5/4")),
    ],
)
def test_rough_thickness_is_read_in_quarters_or_as_a_length(owner_client, text, length):
    add(owner_client, rough_thickness=text)
    assert WoodOnHand.objects.get().rough_thickness == length


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"price": "dear"}, "price"),
        ({"price": "1,234"}, "price"),
        ({"rough_thickness": "1/4"}, "rough_thickness"),
        ({"rough_width": "0"}, "rough_width"),
        ({"finished_rgb": "brown"}, "finished_rgb"),
        ({"wood": "nonsense"}, "wood"),
        ({"mark": "nonsense"}, "mark"),
    ],
)
def test_bad_input_is_said_beside_its_field_and_nothing_is_added(owner_client, changes, field):
    answer = add(owner_client, **changes)
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    assert WoodOnHand.objects.count() == 0


def test_two_woods_never_share_a_mark(owner_client):
    add(owner_client)
    answer = add(owner_client, wood="beech")
    assert "Black walnut has this mark" in answer.context["form"].errors["mark"][0]


@pytest.mark.django_db
@pytest.mark.storage
def test_the_database_itself_keeps_marks_apart_and_sizes_above_nought():
    add_woods("beech")
    beech = WoodOnHand.objects.get()
    with pytest.raises(IntegrityError):
        beech.pk, beech.wood = None, "sapele"
        beech.save()


def test_a_wood_set_aside_is_no_longer_offered_and_comes_back(owner_client):
    add(owner_client)
    address = reverse("lumber:on_hand", args=["walnut-black"])
    owner_client.post(address, {"on_hand": "0", "form_key": secrets.token_urlsafe(24)})
    assert offers() == {}
    owner_client.post(address, {"on_hand": "1", "form_key": secrets.token_urlsafe(24)})
    assert list(offers()) == ["walnut-black"]


def test_a_wood_whose_mark_was_given_away_says_so_when_it_comes_back(owner_client):
    add(owner_client)
    address = reverse("lumber:on_hand", args=["walnut-black"])
    owner_client.post(address, {"on_hand": "0", "form_key": secrets.token_urlsafe(24)})
    add(owner_client, wood="beech")
    answer = owner_client.post(address, {"on_hand": "1", "form_key": secrets.token_urlsafe(24)}, follow=True)
    assert "American beech has the mark of Black walnut now" in answer.content.decode()
    assert list(offers()) == ["beech"]


def test_published_values_stand_with_their_sources_and_cautions(owner_client):
    add(owner_client)
    body = owner_client.get(reverse("lumber:wood", args=["walnut-black"])).content.decode()
    assert "Juglans nigra" in body and "0.00274" in body and "Table 13-5" in body and "tree nuts" in body


def test_a_wood_is_changed_and_a_conflict_shows_both(owner_client):
    add(owner_client)
    address = reverse("lumber:wood", args=["walnut-black"])
    row = WoodOnHand.objects.get()
    change = {k: v for k, v in typed(name="Walnut", finished_rgb=row.finished_rgb).items() if k != "wood"}
    owner_client.post(address, {**change, "price": "17", "edit_version": row.edit_version})
    assert WoodOnHand.objects.get().price == 17
    late = {**change, "price": "18", "edit_version": row.edit_version, "form_key": secrets.token_urlsafe(24)}
    answer = owner_client.post(address, late)
    assert answer.status_code == 409
    assert "17.00" in answer.content.decode() and 'value="18"' in answer.content.decode()
    assert WoodOnHand.objects.get().price == 17
