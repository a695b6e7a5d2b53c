"""Whom wood is bought from is written down with how they count; a change is told, and never reaches back."""

from __future__ import annotations

import secrets
from fractions import Fraction

import pytest
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.lumber.models import Delivery, Supplier
from tests.support.rack import delivery, line, supplier


def typed(**changes) -> dict[str, str]:
    filled = {"name": "Millrace Yard", "rule": "surface", "thin_as_inch": "on", "tax": "20", "tax_included": "on"}
    return {**filled, "note": "", "form_key": secrets.token_urlsafe(24), **changes}


def test_a_supplier_is_added_with_how_they_count(owner_client):
    assert owner_client.post(reverse("lumber:add_supplier"), typed()).status_code == 302
    row = Supplier.objects.get()
    assert (row.rule, row.thin_as_inch, row.tax, row.tax_included) == ("surface", True, Fraction(1, 5), True)
    body = owner_client.get(reverse("lumber:suppliers")).content.decode()
    assert "Millrace Yard" in body and "nearest whole square foot" in body and "20\u00a0%" in body


def test_a_supplier_sent_twice_is_there_once(owner_client):
    twice = typed()
    for _ in range(2):
        assert owner_client.post(reverse("lumber:add_supplier"), twice).status_code == 302
    assert Supplier.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"name": ""}, "name"), ({"rule": "by eye"}, "rule"), ({"tax": "NaN"}, "tax"), ({"tax": "101"}, "tax")],
)
def test_what_cannot_be_read_of_a_supplier_is_said_and_kept(owner_client, changes, field):
    answer = owner_client.post(reverse("lumber:add_supplier"), typed(**changes))
    assert answer.status_code == 422 and answer.context["form"].errors[field]
    assert answer.context["form"]["tax"].value() == typed(**changes)["tax"]
    assert not Supplier.objects.exists()


def test_two_suppliers_never_share_a_name(owner_client):
    supplier()
    answer = owner_client.post(reverse("lumber:add_supplier"), typed(name="MILLRACE yard"))
    assert "is in the book already" in answer.context["form"].errors["name"][0]


def test_a_changed_rule_is_told_and_leaves_old_deliveries_as_they_were_counted(owner, owner_client):
    delivery(owner, line())
    row = Supplier.objects.get()
    address = reverse("lumber:supplier", args=[row.pk])
    answer = owner_client.post(address, typed(edit_version=row.edit_version))
    assert answer.status_code == 302
    row.refresh_from_db()
    assert row.rule == "surface" and Delivery.objects.get().rule == "exact"
    told = AuditLine.objects.filter(kind="lumber.supplier").values_list("what", flat=True)
    assert any("How they count changed from exactly as measured to by surface measure" in what for what in told)


def test_the_second_of_two_who_change_a_supplier_sees_both(owner_client, owner):
    row = supplier()
    address = reverse("lumber:supplier", args=[row.pk])
    owner_client.post(address, typed(edit_version=row.edit_version, tax="5"))
    answer = owner_client.post(address, typed(edit_version=row.edit_version, tax="7"))
    assert answer.status_code == 409
    body = answer.content.decode()
    assert "<td>5</td><td>7</td>" in body and 'value="7"' in body
    row.refresh_from_db()
    assert row.tax == Fraction(1, 20)
