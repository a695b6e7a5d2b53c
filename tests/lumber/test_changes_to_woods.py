"""A wood's changes are told from what to what, keep woods apart, and are read in the unit the form was opened in."""

from __future__ import annotations

import re
import secrets

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.common.models import AuditLine
from shopapp.lumber.models import WoodOnHand
from tests.lumber.test_woods_on_hand import add
from tests.workshop.test_settings import send


def opened(client, wood_id: str = "walnut-black") -> dict[str, str]:
    """A wood's form as a browser holds it."""
    answer = client.get(reverse("lumber:wood", args=[wood_id]))
    form = answer.context["form"]
    typed = {b.name: str(b.field.prepare_value(b.value())) for b in form.visible_in_order()}
    unit = re.search(r'name="unit_shown" value="(\w+)"', answer.content.decode())[1]
    version = str(form.fields["edit_version"].initial)
    return {**typed, "unit_shown": unit, "form_key": form.fresh_key(), "edit_version": version}


def change(client, wood_id: str = "walnut-black", **typed):
    return client.post(reverse("lumber:wood", args=[wood_id]), {**opened(client, wood_id), **typed})


def told() -> list[str]:
    """What was told since a wood was added."""
    return list(AuditLine.objects.order_by("pk").values_list("what", flat=True))[1:]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"price": "17.20"}, "Black walnut: Price changed from € 16.50 to € 17.20."),
        ({"per": "m3"}, "Black walnut: What it is priced by changed from a board foot to a cubic metre."),
        ({"rough_thickness": "8/4"}, "Black walnut: Usual rough thickness changed from 31.75 mm to 50.8 mm."),
        ({"rough_width": "140.0001"}, "Black walnut: Usual width changed from 140 mm to 140.0001 mm."),
        ({"name": "Walnut"}, "Black walnut: Name changed from Black walnut to Walnut."),
        ({"mark": "hook"}, "Black walnut: Mark changed from ring to hook."),
    ],
)
def test_a_change_is_told_with_what_stood_and_what_stands(owner_client, typed, sentence):
    add(owner_client)
    assert change(owner_client, **typed).status_code == 302
    assert told() == [sentence]


def test_a_wood_sent_back_untouched_tells_nothing_and_its_colour_stays_a_stand_in(owner_client):
    add(owner_client)
    assert change(owner_client).status_code == 302
    assert told() == []
    assert WoodOnHand.objects.get().colour_is_stand_in


def test_a_colour_of_the_makers_own_is_no_stand_in(owner_client):
    add(owner_client)
    change(owner_client, finished_rgb="#4a3324")
    row = WoodOnHand.objects.get()
    assert row.rgb == (0x4A, 0x33, 0x24) and not row.colour_is_stand_in


def test_a_change_sent_twice_is_done_once(owner_client):
    add(owner_client)
    typed = {**opened(owner_client), "price": "18"}
    address = reverse("lumber:wood", args=["walnut-black"])
    assert [owner_client.post(address, typed).status_code for _ in range(2)] == [302, 302]
    assert len(told()) == 1


def test_two_woods_never_share_a_name(owner_client):
    add(owner_client)
    answer = add(owner_client, wood="beech", name="black WALNUT", mark="hook")
    assert answer.status_code == 422
    assert "called Black walnut" in answer.context["form"].errors["name"][0]
    add(owner_client, wood="beech", mark="hook")
    answer = change(owner_client, "beech", name="Black walnut")
    assert answer.status_code == 422 and 'value="Black walnut"' in answer.content.decode()
    assert set(WoodOnHand.objects.values_list("name", flat=True)) == {"Black walnut", "American beech"}


def test_a_wood_set_aside_twice_is_told_once(owner_client):
    add(owner_client)
    for _ in range(2):
        key = secrets.token_urlsafe(24)
        owner_client.post(reverse("lumber:on_hand", args=["walnut-black"]), {"on_hand": "0", "form_key": key})
    assert told() == ["Black walnut was set aside."]


def test_a_width_typed_before_the_shop_turned_to_inches_stays_in_millimetres(owner_client):
    add(owner_client)
    form = opened(owner_client)
    send(owner_client, "names", unit="in")
    assert (
        owner_client.post(reverse("lumber:wood", args=["walnut-black"]), {**form, "rough_width": "150"}).status_code
        == 302
    )
    assert WoodOnHand.objects.get().rough_width == Length.of_mm(150)
