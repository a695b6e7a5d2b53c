"""The workshop's settings are kept exactly and refused in words."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.common.models import AuditLine
from shopapp.schedule.log.planning import minutes_used
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import rates_of, shop_of
from shopapp.workshop.readers import the_workshop
from shopapp.workshop.sections import SECTIONS


def shown(client, key: str) -> dict[str, str]:
    """A section's form as its page shows it, ready to be sent back."""
    form = client.get(reverse("workshop:section", args=[key])).context["form"]
    typed = {}
    for bound in form.visible_in_order():
        value = bound.field.prepare_value(bound.value())
        if value is True:
            typed[bound.name] = "on"
        elif value not in (None, False):
            typed[bound.name] = str(value)
    return {**typed, "form_key": form.fresh_key(), "edit_version": str(form.fields["edit_version"].initial)}


def send(client, key: str, **typed):
    return client.post(reverse("workshop:section", args=[key]), {**shown(client, key), **typed})


@pytest.mark.parametrize("key", [section.key for section in SECTIONS])
def test_a_section_sent_back_untouched_changes_nothing(owner_client, key):
    send(owner_client, "names", name="Creekside")
    before = Workshop.objects.values().get()
    lines = AuditLine.objects.count()
    assert send(owner_client, key).status_code == 302
    after = Workshop.objects.values().get()
    moved = {name for name in before if before[name] != after[name]}
    assert moved <= {"changed_at", "edit_version"}
    assert AuditLine.objects.count() == lines


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("typed", ['3/32"', "2.4 mm", "1/8 in"])
def test_a_kerf_is_kept_exactly_in_whichever_unit_it_is_typed(owner_client, unit, typed):
    send(owner_client, "names", unit=unit)
    send(owner_client, "safe", crosscut_kerf=typed)
    exact = {'3/32"': Length.of_inches("3/32"), "2.4 mm": Length.of_mm("2.4"), "1/8 in": Length.of_inches("1/8")}
    assert the_workshop().crosscut_kerf == exact[typed]
    # And stays so when the form is sent back as it is shown.
    send(owner_client, "safe")
    assert the_workshop().crosscut_kerf == exact[typed]


@pytest.mark.parametrize(
    ("key", "typed", "field"),
    [
        ("safe", {"crosscut_kerf": "0"}, "crosscut_kerf"),
        ("safe", {"grip": "a hand"}, "grip"),
        ("safe", {"longest_rip": "1,200"}, "longest_rip"),
        ("allowances", {"spoil_rate": "60"}, "spoil_rate"),
        ("allowances", {"spoil_rate": "1.23456"}, "spoil_rate"),
        ("selling", {"margin": "12.345678"}, "margin"),
        ("supplies", {"abrasive_m2_each": "0"}, "abrasive_m2_each"),
        ("hours", {"hour": "0"}, "hour"),
        ("hours", {"time_crosscut": "-1"}, "time_crosscut"),
        ("selling", {"margin": "100"}, "margin"),
        ("selling", {"fee_0_name": "stall", "fee_0_percent": "90"}, "margin"),
        ("selling", {"fee_0_percent": "5"}, "fee_0_name"),
        ("names", {"currency_code": "euro"}, "currency_code"),
    ],
)
def test_bad_input_is_said_beside_its_field_keeps_what_was_typed_and_changes_nothing(owner_client, key, typed, field):
    answer = send(owner_client, key, **typed)
    assert answer.status_code == 422
    words = answer.context["form"].errors[field]
    assert words and not re.search(r"invalid|please|oops", str(words), re.IGNORECASE)
    body = answer.content.decode()
    assert all(f'value="{value}"' in body for value in typed.values())
    assert Workshop.objects.count() == 0


def test_two_who_edit_at_once_both_see_what_stands_and_what_they_typed(owner_client):
    send(owner_client, "names", name="First")
    opened = shown(owner_client, "names")
    send(owner_client, "names", name="Second")
    answer = owner_client.post(reverse("workshop:section", args=["names"]), {**opened, "name": "Third"})
    assert answer.status_code == 409
    body = answer.content.decode()
    assert "Second" in body and "Third" in body
    # Sent once more, knowingly, what was typed takes its place.
    again = {**opened, "name": "Third", "edit_version": re.search(r'name="edit_version" value="(\d+)"', body)[1]}
    assert owner_client.post(reverse("workshop:section", args=["names"]), again).status_code == 302
    assert the_workshop().name == "Third"


def test_two_who_edit_at_once_read_each_other_in_the_pages_words(owner_client):
    opened = shown(owner_client, "names")
    send(owner_client, "names", unit="in")
    answer = owner_client.post(reverse("workshop:section", args=["names"]), opened)
    assert answer.context["conflict_rows"] == [("unit", "Lengths are written in", "inches", "millimetres")]
    opened = shown(owner_client, "selling")
    send(owner_client, "selling", tax_included="")
    answer = owner_client.post(reverse("workshop:section", args=["selling"]), opened)
    assert answer.context["conflict_rows"] == [("tax_included", "The price includes the tax", "no", "yes")]


def test_the_same_form_twice_is_kept_once(owner_client):
    typed = {**shown(owner_client, "names"), "name": "Once"}
    address = reverse("workshop:section", args=["names"])
    owner_client.post(address, typed)
    lines = AuditLine.objects.count()
    assert owner_client.post(address, typed).status_code == 302
    assert AuditLine.objects.count() == lines


@pytest.mark.django_db
def test_before_anything_is_saved_the_planners_own_defaults_hold():
    from planner.hours import DEFAULT_TIMES
    from planner.pricing import Rates
    from planner.shop import Shop

    workshop = the_workshop()
    assert shop_of(workshop) == Shop()
    assert rates_of(workshop) == Rates()
    assert minutes_used(workshop) == DEFAULT_TIMES


def test_a_time_of_half_a_minute_reaches_the_planner_exactly(owner_client):
    send(owner_client, "hours", time_crosscut="0.75")
    assert minutes_used(the_workshop())["crosscut"] == Fraction(3, 4)


def test_an_unknown_section_is_not_found(owner_client):
    assert owner_client.get(reverse("workshop:section", args=["nonsense"])).status_code == 404


def test_cautions_stand_where_limits_are_set(owner_client):
    body = owner_client.get(reverse("workshop:section", args=["safe"])).content.decode()
    assert "not a clearance" in body and "manual" in body
