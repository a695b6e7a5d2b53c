"""Glue, finish, jigs and clamps are the maker's own records; where none is written the app says that it assumes."""

from __future__ import annotations

import secrets
from fractions import Fraction

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, transaction
from django.urls import reverse

from planner.measures import Length
from shopapp.common.models import AuditLine
from shopapp.people.models import Member
from shopapp.workshop import readers
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.gluing.fields import MinutesFormField, said
from shopapp.workshop.models import Adhesive, ClampKind, Finish, RowJig
from shopapp.workshop.planning import adhesive_of, finish_of, glue_shop_of, home_climate, shop_climate
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send as send_section

SHEET = {
    "name": "White glue", "open": "5", "assembly": "10 min", "clamped": "0.5 h", "machining": "1 day",
    "sanding": "48", "lowest_celsius": "8", "source": "the tub's own sheet", "source_on": "2026-11-03",
}  # fmt: skip
OIL = {
    "name": "Oil", "raisings": "1", "raised_dries": "2", "coats": "3", "soak": "60", "wipe_within": "90",
    "recoat": "24", "cure": "7", "drying": "on",
}  # fmt: skip


def send(client, kind: str, row=None, **typed):
    name, args = ("add_material", [kind]) if row is None else ("material", [kind, row.pk])
    return client.post(reverse(f"workshop:{name}", args=args), {"form_key": secrets.token_urlsafe(24), **typed})


@pytest.mark.parametrize(
    ("typed", "unit", "minutes"),
    [("30", "min", 30), ("1/2", "h", 30), ("1 1/2 h", "min", 90), ("3 days", "h", 4320), ("90 min", "days", 90)],
)
def test_a_time_is_read_in_its_unit_or_the_one_that_is_written(typed, unit, minutes):
    field = MinutesFormField(unit=unit, most=10_000)
    assert field.clean(typed) == minutes
    assert field.clean(field.show(minutes)) == minutes
    assert said(90) == "1 h 30 min"


def test_until_something_is_written_down_the_starting_records_stand_and_say_that_they_are_assumed(owner_client):
    glue = readers.adhesives()[0]
    assert glue.is_assumed and glue.choice == "assumed" and not Adhesive.objects.exists()
    assert adhesive_of(glue).assembly >= adhesive_of(glue).open
    shop = glue_shop_of(the_workshop())
    assert shop.people == 1 and shop.jigs[0].longest == Length.of_mm(600) and len(shop.clamps) == 2
    assert owner_client.get(reverse("workshop:gluing")).content.decode().count("An assumption of ours") == 5


def test_what_the_sheet_says_takes_the_place_of_what_was_assumed(owner_client):
    assert send(owner_client, "glue", **SHEET).status_code == 302
    (glue,) = readers.adhesives()
    assert adhesive_of(glue).clamped == 30 and adhesive_of(glue).sanding == 2880
    assert adhesive_of(glue).lowest_celsius == Fraction(8) and not glue.is_assumed
    page = owner_client.get(reverse("workshop:gluing")).content.decode()
    assert "From the data sheet of the tub&#x27;s own sheet, 3 November 2026." in page
    assert "colder than" not in page
    send_section(owner_client, "climate", shop_celsius="7.5")
    assert "stands at 7.5 °C, colder than White glue" in owner_client.get(reverse("workshop:gluing")).content.decode()
    send(owner_client, "finish", **OIL)
    oil = finish_of(Finish.objects.get())
    assert (oil.coats, oil.recoat, oil.cure, oil.drying) == (3, 1440, 7 * 1440, True)
    send(owner_client, "finish", **{**OIL, "name": "Mineral oil", "cure": "", "drying": ""})
    assert finish_of(Finish.objects.get(name="Mineral oil")).cure is None


@pytest.mark.storage
def test_a_change_is_told_and_what_is_set_aside_is_used_no_more_and_never_deleted(owner_client):
    send(owner_client, "jigs", name="Long jig", count="1", longest="70 cm")
    send(owner_client, "jigs", name="Short jig", count="2", longest="350")
    long = RowJig.objects.get(name="Long jig")
    late = {"name": "Long jig", "count": "2", "longest": "700", "edit_version": "1"}
    assert send(owner_client, "jigs", long, **late).status_code == 302
    assert send(owner_client, "jigs", long, **late).status_code == 409
    assert [jig.name for jig in glue_shop_of(the_workshop()).jigs] == ["Short jig"]
    assert list(AuditLine.objects.filter(key=str(long.pk)).order_by("pk").values_list("what", flat=True))[1:] == [
        "Long jig: How many there are changed from 1 to 2.",
        "Long jig: Used here changed from yes to no.",
    ]
    with pytest.raises(DatabaseError), transaction.atomic():
        long.delete()
    assert "is in the book already" in send(owner_client, "jigs", **{**late, "name": "long JIG"}).content.decode()


@pytest.mark.parametrize(
    ("kind", "typed", "field"),
    [
        ("glue", {**SHEET, "assembly": "4"}, "assembly"),
        ("glue", {**SHEET, "open": "5 fortnights"}, "open"),
        ("glue", {**SHEET, "machining": "1/7"}, "machining"),
        ("glue", {**SHEET, "source_on": "2999-01-01"}, "source_on"),
        ("finish", {**OIL, "wipe_within": "30"}, "wipe_within"),
        ("finish", {**OIL, "cure": ""}, "cure"),
        ("clamps", {"name": "Bar", "count": "0", "reach": "900"}, "count"),
        ("jigs", {"name": "Jig", "count": "1", "longest": "0"}, "longest"),
    ],
)
def test_what_no_sheet_says_is_refused_beside_its_field_and_nothing_is_written(owner_client, kind, typed, field):
    answer = send(owner_client, kind, **typed)
    assert answer.status_code == 422 and answer.context["form"].errors[field]
    assert answer.context["form"].data[field] == typed[field]
    assert not any(model.objects.exists() for model in (Adhesive, Finish, ClampKind, RowJig))


def test_a_helper_reads_them_and_changes_none(client, owner):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    client.force_login(helper)
    assert "Write down" not in client.get(reverse("workshop:gluing")).content.decode()
    with pytest.raises(PermissionDenied):
        add_material(who=helper, model=RowJig, values={"name": "Jig"})


def test_the_page_of_climates_says_what_wood_comes_to_and_a_meter_goes_before_the_air(owner_client):
    # Wood Handbook, Table 4-2: 9.2 % at 21.1 °C and 50 %.
    answer = send_section(owner_client, "climate", shop_celsius="21.1", shop_humidity="50", home_moisture="7.5")
    assert answer.status_code == 302
    assert shop_climate(the_workshop()).moisture == Fraction("9.2")
    assert home_climate(the_workshop()).moisture == Fraction("7.5")
    page = owner_client.get(reverse("workshop:section", args=["climate"])).content.decode()
    assert "9.2\N{NO-BREAK SPACE}%" in page and "1.7\N{NO-BREAK SPACE}points" in page
    assert send_section(owner_client, "climate", shop_humidity="99").status_code == 422
