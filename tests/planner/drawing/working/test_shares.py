"""Where each unit of a sale goes: every share drawn with its sum, bars end to end, read in grey by words and hatch."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from planner.drawing import WoodLook
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working.shares import Told, shares_svg
from planner.pricing.shares import KINDS
from tests.planner.drawing.marking.svg import SVG
from tests.planner.drawing.working.canvas import Drawn, assert_plain, assert_words_have_room

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
LOOKS = {
    "ash": WoodLook("Ash", (220, 200, 160), "ring"),
    "wenge": WoodLook("Wenge", (70, 50, 40), "bar"),
}
SALE = (
    Told("Ash", "wood", Decimal("12.00"), "ash"),
    Told("Wenge", "wood", Decimal("8.00"), "wenge"),
    Told("Glue", "supplies", Decimal("1.00")),
    Told("Hardware", "hardware", Decimal("3.00")),
    Told("Labour", "labour", Decimal("60.00")),
    Told("Overhead", "overhead", Decimal("6.00")),
    Told("Reserve for boards lost", "reserve", Decimal("2.00")),
    Told("Packaging", "packaging", Decimal("4.50")),
    Told("Carriage", "carriage", Decimal("8.90")),
    Told("stall", "fee", Decimal("9.10")),
    Told("Tax", "tax", Decimal("25.00")),
    Told("Rounding", "rounding", Decimal("0.01")),
)
KEPT = Told("Yours to keep", "profit", Decimal("20.49"))
LOSS = Told("Loss", "loss", Decimal("-39.51"))


def drawn(shares, room=PAPER) -> Drawn:
    whole = sum((one.money for one in shares), Decimal(0))
    return Drawn(shares_svg(whole, shares, LOOKS, lambda amount: f"$ {amount}", room=room))


def sums(one: Drawn) -> list[Decimal]:
    return [Decimal(t.get("data-sum")) for t in one.root.iter(f"{SVG}text") if t.get("data-sum")]


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("last", [KEPT, LOSS], ids=["kept", "lacking"])
def test_every_share_stands_there_with_its_sum_under_the_whole_they_add_up_to(room, last):
    whole, *lines = sums(drawn((*SALE, last), ROOMS[room]))
    assert lines == [one.money for one in (*SALE, last)] and sum(lines) == whole


@pytest.mark.parametrize("room", ROOMS)
def test_words_have_room_and_nothing_is_inline(room):
    one = drawn((*SALE, KEPT), ROOMS[room])
    assert_plain(one)
    assert_words_have_room(one)


def test_a_bar_is_as_long_as_its_share():
    one = drawn((*SALE, KEPT))
    long = float(one.root.get("data-bar"))
    (_, _, labour, _) = one.boxes("hours")[0][:4]
    assert labour == pytest.approx(long * float(Fraction(60) / Fraction(160)), rel=1e-3)


def test_what_is_lacking_reaches_back_to_where_the_payment_ends():
    """The buyer pays 100.00 of the 139.51 that goes out."""
    one = drawn((*SALE, LOSS))
    x, _, wide, _ = one.boxes("loss")[0][:4]
    paid_x, _, paid, _ = one.boxes("whole")[0][:4]
    assert x == pytest.approx(paid_x + paid, abs=0.1)
    assert wide / paid == pytest.approx(39.51 / 100, rel=1e-3)


def test_every_kind_of_share_there_is_can_be_drawn():
    every = tuple(Told(kind, kind, Decimal(5)) for kind in KINDS if kind != "loss")
    assert len(sums(drawn(every))) == len(every) + 1
