"""What a board is to leave its maker: a share of the price, a share on the cost, or a sum; and carriage by a tariff."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.asked import reckoning_of
from shopapp.plans.models import Plan
from shopapp.plans.planning import board_of_plan, reckon_board
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern, typed_board


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def figures(client, design, *, live=False, **typed):
    headers = {"HX-Request": "true"} if live else {}
    answer = client.get(reverse("plans:reckoning", args=[design.pk]), typed_board(**typed), headers=headers)
    return answer.context["view"].figures if answer.context["view"] else answer


def amount(figure) -> Fraction:
    return Fraction(figure["value"][1])


def test_a_markup_leaves_that_share_of_the_cost_and_a_sum_that_sum(owner_client, design):
    # Without fees the price is cost × (1 + markup), and cost + sum, each up to the next coin.
    by_markup = figures(owner_client, design, asks="markup", margin="40")
    assert 0 <= amount(by_markup["profit"]) - amount(by_markup["cost"]) * Fraction(40, 100) < Fraction(1, 100)
    by_sum = figures(owner_client, design, asks="profit", margin="33.33")
    assert amount(by_sum["profit"]) == Fraction("33.33")
    assert amount(by_sum["price"]) == amount(by_sum["cost"]) + Fraction("33.33")


def test_margin_and_markup_stand_beside_every_price(owner_client, design):
    for asks, kept in (("margin", "40"), ("markup", "40"), ("profit", "12")):
        found = figures(owner_client, design, asks=asks, margin=kept)
        kept_of_it = amount(found["profit"])
        assert amount(found["margin"]) == kept_of_it / amount(found["price"])
        assert amount(found["markup"]) == kept_of_it / amount(found["cost"])
    body = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board()).content.decode()
    assert "Margin, of the price" in body and "Markup, on the cost" in body and "Cash floor" in body


def test_the_cash_floor_is_the_break_even_less_the_hours(owner_client, design):
    found = figures(owner_client, design)
    labour = next(term for term in found["cost_all"]["terms"] if term["name"] == "Labour")
    assert amount(found["cash_floor"]) == amount(found["break_even"]) - amount(labour["figure"])


def test_what_the_shop_asks_stands_in_the_form_until_a_board_asks_another(owner_client, design):
    Workshop.objects.update_or_create(pk=1, defaults={"asks": "profit", "profit": Decimal("45.50")})
    form = owner_client.get(reverse("plans:reckoning", args=[design.pk])).context["form"]
    assert form.cleaned_data["asks"] == "profit" and form.cleaned_data["margin"] == Fraction("45.50")
    assert form["margin"].value() == "45.50" and form.fields["margin"].suffix == "€"


def test_addresses_of_before_ask_a_margin(owner_client, design):
    Workshop.objects.update_or_create(pk=1, defaults={"asks": "profit"})
    answer = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board(margin="20"))
    assert answer.context["form"].cleaned_data["asks"] == "margin"


@pytest.mark.parametrize(("asks", "kept"), [("margin", "100"), ("markup", "x"), ("profit", "-1"), ("alms", "3")])
def test_what_cannot_be_asked_is_said_beside_its_field(owner_client, design, asks, kept):
    answer = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board(asks=asks, margin=kept))
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["asks" if asks == "alms" else "margin"]


def test_the_unit_beside_what_is_kept_changes_with_what_it_is_counted_as(owner_client, design):
    body = owner_client.get(
        reverse("plans:reckoning", args=[design.pk]), typed_board(asks="profit"), headers={"HX-Request": "true"}
    ).content.decode()
    assert 'id="id_margin_unit" hx-swap-oob="true">€<' in body


def test_an_address_made_of_a_board_is_read_back_as_that_board(owner, owner_client, design):
    for change in ({"asks": "profit", "margin": Fraction("7.25")}, {"asks": "markup", "margin": Fraction(1, 8)}, {}):
        asked = board(
            along="columns", details=("chamfer",), pitch=Length.of_inches("11/16"), **{"asks": "margin"} | change
        )
        answer = owner_client.get(reckoning_of(design.versions.get(), asked, the_workshop()))
        read = answer.context["form"].cleaned_data
        assert {name: read[name] for name in asked} == asked


def test_a_plan_keeps_what_was_asked(owner, design):
    asked = board(asks="profit", margin=Fraction("25.00"))
    plan = keep_plan(who=owner, version=design.versions.get(), board=asked, workshop=the_workshop())
    again = board_of_plan(Plan.objects.get(pk=plan.pk))
    assert again["asks"] == "profit" and again["margin"] == 25
    assert plan.record["figures"]["profit"]["value"] == ["decimal", "25.00"]


def test_carriage_by_the_tariff_is_charged_by_the_board_s_mass_or_room(owner, design):
    """FLAG is 204 × 170 × 20 mm of picture and borders; its parcel is worked out here by hand."""
    tariff = [["1", "4.90"], ["5", "8.90"]]
    Workshop.objects.update_or_create(pk=1, defaults={"carrier_tariff": tariff, "carriage_paid": Decimal("99")})
    record = reckon_board(design.versions.get(), board(), the_workshop())[1]
    long, high, thick = (Fraction(text) for text in record["finished"])
    mass = Fraction(record["mass"]["mass"]["value"][1]) + Fraction(1, 2)
    room = (long + 80) * (high + 80) * (thick + 80) / 1000 / 5000
    steps = -(-max(mass, room) // Fraction(1, 2))
    expected = Decimal("4.90") if steps / 2 <= 1 else Decimal("8.90")
    carriage = record["figures"]["carriage"]
    assert Decimal(carriage["value"][1]) == expected
    (term,) = [term for term in record["figures"]["price"]["terms"] if term["name"] == "Carriage paid"]
    assert term["figure"] == carriage and carriage["terms"][0]["name"] == "Charged by"


def test_a_parcel_past_the_tariff_goes_by_the_sum_written_and_says_so(owner_client, design):
    changes = {"carrier_tariff": [["0.5", "3.90"]], "carriage_paid": Decimal("12")}
    Workshop.objects.update_or_create(pk=1, defaults=changes)
    answer = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board())
    record = answer.context["view"].record
    assert "carriage" not in record["figures"]
    assert record["carriage_trouble"].startswith("Carriage is the 12.00 written in the settings")
    assert "the tariff ends at 0.5 kg" in answer.content.decode()
    (paid,) = [term for term in record["figures"]["price"]["terms"] if term["name"] == "Carriage paid"]
    assert Decimal(paid["figure"]["value"][1]) == 12
