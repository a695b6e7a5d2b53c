"""What wood cost, to the coin."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import PlannerError
from planner.lotcost import PER, Charge, delivery_costs, goods_of, shared
from planner.measures import Length, round_half_up
from planner.tally import BoardSize, TallyRule, tally
from tests.support.units import quantity

INCH = Length.of_inches(1)
BOARD = BoardSize(INCH, INCH * 6, INCH * 96, 2)
(TALLIED,) = tally([BOARD], TallyRule())


@pytest.mark.parametrize(
    ("per", "goods"),
    [
        ("bf", "80.00"),  # 8 board feet: 1 x 6 x 96 in are 4 (powershardwoods.com), twice
        ("m3", "0.19"),  # 8 x 144 cubic inches are 0.018878 m3
        ("sqft", "80.00"),  # an inch thick, square feet are board feet
        ("m", "48.77"),  # 96 in are 2.4384 m
        ("kg", "75.00"),
        ("piece", "20.00"),
    ],
)
def test_a_price_is_for_what_it_says(per, goods):
    assert goods_of(BOARD, TALLIED, Charge(Decimal(10), per, Decimal("7.5")), 2) == Decimal(goods)


sides = st.integers(10**6, 10**10).map(Length.from_nm)


@settings(deadline=None)
@given(st.builds(BoardSize, sides, sides, sides, st.integers(1, 50)), st.integers(1, 10**6))
def test_what_is_charged_by_volume_face_or_length_agrees_with_pint(board, ten_thousandths):
    price = Decimal(ten_thousandths) / 10_000
    (tallied,) = tally([board], TallyRule())
    mm = quantity(1, "millimeter")
    thickness, width, length = (side.mm * mm for side in (board.thickness, board.width, board.length))
    for per, charged in (
        ("bf", (thickness * width * length).to("board_feet")),
        ("m3", (thickness * width * length).to("meter**3")),
        ("sqft", (width * length).to("foot**2")),
        ("m", length.to("meter")),
    ):
        due = round_half_up(charged.magnitude * board.count * Fraction(price), 2)
        assert goods_of(board, tallied, Charge(price, per), 2) == due


def test_a_price_by_the_kilogram_needs_the_mass():
    with pytest.raises(PlannerError, match="needs the mass"):
        goods_of(BOARD, TALLIED, Charge(Decimal(10), "kg"), 2)


def test_tax_is_taken_out_of_a_price_that_holds_it_and_put_on_one_that_does_not():
    (held,) = delivery_costs([BOARD], [Decimal("119.00")], carriage=Decimal(0), tax=Fraction(19, 100),
                             tax_included=True, exponent=2)  # fmt: skip
    assert (held.goods, held.tax, held.cost) == (Decimal("100.00"), Decimal("19.00"), Decimal("119.00"))
    (put,) = delivery_costs([BOARD], [Decimal("100.00")], carriage=Decimal(0), tax=Fraction(19, 100),
                            tax_included=False, exponent=2)  # fmt: skip
    assert put == held


money = st.integers(0, 10**8).map(lambda cents: Decimal(cents) / 100)


@settings(deadline=None)
@given(money, st.lists(st.fractions(0, 1000), min_size=1, max_size=40))
def test_shares_add_up_to_the_coin_and_none_is_a_coin_off_its_due(amount, weights):
    parts = shared(amount, weights, 2)
    assert sum(parts) == amount
    whole = sum(weights)
    if whole:
        assert all(
            abs(Fraction(part) - Fraction(amount) * w / whole) < Fraction(1, 100)
            for part, w in zip(parts, weights, strict=True)
        )


# IAS 2 Inventories, paragraphs 23 and 24: specific identification. Two lots, ten at 8.00 and ten at 11.00; all of the
# second and two of the first are used: 126.00, and 64.00 are left (worked by hand).
def test_specific_lots_keep_their_own_cost():
    first, second = shared(Decimal(80), [Fraction(1)] * 10, 2), shared(Decimal(110), [Fraction(1)] * 10, 2)
    used = sum(second) + sum(first[:2])
    assert (used, sum(first[2:])) == (Decimal("126.00"), Decimal("64.00"))


def test_every_way_of_pricing_is_known():
    for per in PER:
        assert goods_of(BOARD, TALLIED, Charge(Decimal(1), per, Decimal(1)), 2) > 0
