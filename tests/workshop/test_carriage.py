"""Carriage by a tariff: lines are filled and emptied, and a parcel is charged by its mass or by its room."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from planner.pricing import Parcel, carriage_of
from shopapp.common.models import AuditLine
from shopapp.workshop.planning import carrier_of, packing_of
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send


def line(n: int, kg: str, price: str) -> dict[str, str]:
    return {f"tariff_{n}_kg": kg, f"tariff_{n}_price": price}


def test_without_a_line_there_is_no_carrier_and_carriage_is_the_sum_written(owner_client):
    send(owner_client, "carriage", carriage_paid="7.20")
    assert carrier_of(the_workshop()) is None and the_workshop().carriage_paid == Decimal("7.20")


def test_lines_are_kept_the_lightest_first_and_told_in_a_sentence(owner_client):
    assert send(owner_client, "carriage", **line(0, "10", "12.90"), **line(1, "2.5", "6.90")).status_code == 302
    carrier = carrier_of(the_workshop())
    assert carrier.tariff == ((Fraction(5, 2), Decimal("6.90")), (Fraction(10), Decimal("12.90")))
    assert (carrier.divisor, carrier.step_kg) == (5000, Fraction(1, 2))
    words = " ".join(AuditLine.objects.values_list("what", flat=True))
    assert "Tariff of the carrier changed from nothing to up to 2.5 kg € 6.90, up to 10 kg € 12.90." in words
    send(owner_client, "carriage", **line(0, "", ""), **line(1, "", ""))
    assert carrier_of(the_workshop()) is None


def test_a_parcel_of_fifty_by_forty_five_by_twelve_is_charged_by_its_room(owner_client):
    """50 × 45 × 12 cm over 5000 is 5.4 kg, up to the next half 5.5; 4.5 over 6000 (carriers' help pages)."""
    parcel = Parcel(Length.of_mm(500), Length.of_mm(450), Length.of_mm(120), Fraction("3.2"))
    send(owner_client, "carriage", **line(0, "5", "9.00"), **line(1, "6", "11.00"))
    assert carriage_of(parcel, carrier_of(the_workshop())).value == Decimal("11.00")
    send(owner_client, "carriage", carrier_divisor="6000")
    assert carriage_of(parcel, carrier_of(the_workshop())).value == Decimal("9.00")
    send(owner_client, "carriage", carrier_divisor="0")
    assert carriage_of(parcel, carrier_of(the_workshop())).value == Decimal("9.00")


def test_packing_is_kept_as_typed(owner_client):
    send(owner_client, "carriage", packed_around="5 cm", packing_grams="850")
    assert packing_of(the_workshop()).padding == Length.of_mm(50)
    assert packing_of(the_workshop()).mass_kg == Fraction(17, 20)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (line(0, "5", ""), "tariff_0_price"),
        (line(0, "", "5"), "tariff_0_kg"),
        (line(0, "0", ""), "tariff_0_kg"),
        (line(0, "0", "3"), "tariff_0_kg"),
        (line(0, "5", "9") | line(3, "5.0", "8"), "tariff_3_kg"),
        ({"carrier_divisor": "-1"}, "carrier_divisor"),
        ({"packing_grams": "x"}, "packing_grams"),
    ],
)
def test_what_cannot_be_a_tariff_is_refused_beside_its_field_and_what_was_typed_stays(owner_client, typed, field):
    answer = send(owner_client, "carriage", **typed)
    assert answer.status_code == 422 and list(answer.context["form"].errors) == [field]
    assert the_workshop().carrier_tariff == []
    for name, text in typed.items():
        assert answer.context["form"].data[name] == text


def test_every_line_stands_in_the_form_once_without_a_script(owner_client):
    body = owner_client.get(reverse("workshop:section", args=["carriage"])).content.decode()
    assert [body.count(f'name="tariff_{n}_kg"') for n in range(10)] == [1] * 10
