"""A shop counts its wood in cubic decimetres or in board feet, everywhere alike; what a price is for stays."""

from __future__ import annotations

from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.common import tables
from shopapp.common.woodmeasure import BOARD_FEET, CUBIC_DECIMETRES, CUBIC_METRES
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support.rack import delivery, line, supplier
from tests.support.shop import add_woods
from tests.workshop.test_settings import send

# A cubic metre in one board foot: NIST SP 811, appendix B.8, "board foot", from memory.
PUBLISHED = "2.359737E-03"


def told(client, address: str) -> str:
    return " ".join(client.get(address).content.decode().replace("\u00a0", " ").split())


def bought(client, file: str) -> str:
    """Of all woods, by a file of the books."""
    return tables.read(client.get(file).content)[-1]["bought"]


@pytest.fixture
def rack(owner):
    """A board of a hundred litres: 50 mm by 400 mm by 5 m."""
    add_woods("walnut-black")
    delivery(owner, line(thickness=Length.of_mm(50), width=Length.of_mm(400), length=Length.of_mm(5000)))


def test_a_board_foot_is_so_many_cubic_metres_as_is_published():
    assert f"{float(CUBIC_METRES.of_a_foot):.6E}" == PUBLISHED
    # 1 m by 1 m by 25.4 mm, an inch board of a square metre: 10.7639 square feet of face, as many board feet.
    feet = Fraction(10**6) / Fraction("304.8") ** 2
    assert BOARD_FEET.told(feet) == "10.76\u00a0bf"
    assert CUBIC_METRES.told(feet) == "0.0254\u00a0m³" and CUBIC_DECIMETRES.told(feet) == "25.40\u00a0dm³"


@pytest.mark.parametrize(
    ("unit", "chosen", "measure"),
    [("mm", "", "dm3"), ("in", "", "bf"), ("mm", "bf", "bf"), ("in", "dm3", "dm3")],
)
def test_wood_goes_with_the_lengths_unless_something_else_is_chosen(unit, chosen, measure):
    assert Workshop(unit=unit, wood_in=chosen).counts_wood.key == measure


def test_the_rack_is_told_in_what_the_shop_counts_in(owner_client, rack):
    assert "piece: 100.00 dm³" in told(owner_client, reverse("lumber:rack"))
    assert "Cubic decimetres</dt><dd>100.00 dm³" in told(owner_client, reverse("lumber:piece", args=["W1"]))
    assert "bf" not in told(owner_client, reverse("lumber:worth"))
    send(owner_client, "names", wood_in="bf")
    assert the_workshop().counts_wood is BOARD_FEET
    # A tenth of a cubic metre: 42.38 board feet.
    assert "piece: 42.38 bf" in told(owner_client, reverse("lumber:rack"))
    assert "dm³" not in told(owner_client, reverse("lumber:worth"))


def test_the_books_and_their_files_are_in_it_too(owner_client, rack):
    page, file = reverse("books:part", args=[2026, "wood"]), reverse("books:table_csv", args=[2026, "wood-amount"])
    assert "Wood in cubic decimetres, 2026" in told(owner_client, page)
    assert bought(owner_client, file) == "100.0000"
    send(owner_client, "names", unit="in")
    assert "Wood in board feet, 2026" in told(owner_client, page)
    assert bought(owner_client, file) == "42.3776"


def test_what_is_sold_by_the_board_foot_is_read_as_on_the_sellers_ticket(owner, owner_client):
    add_woods("walnut-black")
    by_foot = delivery(owner, line(per="bf"))
    by_metre = delivery(owner, line(per="m3"), seller=supplier("Weir Sawmill"))
    assert " bf</span>" in told(owner_client, by_foot.get_absolute_url())
    page = told(owner_client, by_metre.get_absolute_url())
    assert " m³</span>" in page and " bf" not in page
