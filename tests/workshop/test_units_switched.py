"""The shop may change from millimetres to inches while a form lies open; no length is read in the wrong one."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send, shown


def opened(client, key: str) -> dict[str, str]:
    """A section's form as a browser holds it, the unit it was opened in included."""
    body = client.get(reverse("workshop:section", args=[key])).content.decode()
    unit = re.search(r'name="unit_shown" value="(\w+)"', body)[1]
    return {**shown(client, key), "unit_shown": unit}


@pytest.mark.parametrize(("key", "name"), [("safe", "grip"), ("allowances", "end_trim")])
def test_a_form_opened_in_millimetres_is_read_in_millimetres_after_the_switch(owner_client, key, name):
    form = opened(owner_client, key)
    send(owner_client, "names", unit="in")
    address = reverse("workshop:section", args=[key])
    answer = owner_client.post(address, {**form, name: "90"})
    # The settings changed meanwhile, so both are shown: only the length that was typed differs.
    assert answer.status_code == 409
    assert [row[0] for row in answer.context["conflict_rows"]] == [name]
    body = answer.content.decode()
    again = {**form, name: "90", "edit_version": re.search(r'name="edit_version" value="(\d+)"', body)[1]}
    assert 'name="unit_shown" value="mm"' in body
    assert owner_client.post(address, again).status_code == 302
    assert getattr(the_workshop(), name) == Length.of_mm(90)


def test_lengths_are_shown_in_the_new_unit_and_stay_what_they_were(owner_client):
    send(owner_client, "allowances", end_trim='3/8"', edge_trim="4.5")
    send(owner_client, "names", unit="in")
    now = opened(owner_client, "allowances")
    assert (now["end_trim"], now["edge_trim"]) == ("3/8", "4.5 mm")
    send(owner_client, "allowances", **now)
    shop = the_workshop()
    assert (shop.end_trim, shop.edge_trim) == (Length.of_inches("3/8"), Length.of_mm("4.5"))


def test_a_unit_nobody_offers_is_not_read(owner_client):
    send(owner_client, "safe", grip="90", unit_shown="furlong")
    assert the_workshop().grip == Length.of_mm(90)
