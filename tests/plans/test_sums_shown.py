"""Every figure of a reckoning against a sum done on paper, and every sum on the page against its own parts."""

from __future__ import annotations

import html
import re
import secrets
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.pattern import Pattern
from shopapp.common.templatetags.shop import value_in_words
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import WoodOnHand
from shopapp.plans.models import Plan
from shopapp.workshop.models import Fee, Workshop
from tests.support.shop import add_woods, design_with_pattern, typed_board

# One row of two walnut tiles between background, at the shop's first settings. On paper, in mm:
#   long 4 × 20 + 2 × 40 = 160; high 20 + 2 × 30 = 80
#   sycamore, 5/4 (31.75) by 150 at 10.00 a board foot: two borders 170 long from a strip ripped 33.65, which asks
#     for 2 × 173 + 150 = 496 in the rough; two side borders 64.95 long from one ripped 20.8, which asks for 305 at the
#     least; side by side 36.65 + 23.8 + 6 = 66.45 wide: 496 × 66.45 × 31.75 = 0.4435 board feet, 4.43
#   walnut: one run 39.9 long; 305 × 29.8 × 31.75 = 0.1223 board feet, 1.22; nothing spare (0.98 and 0.98² ≥ 0.95)
#   joints 2 × 20.3 × 21 + 2 × 170 × 21 = 0.0079926 m²; × 200 g × 1.5 × 12.00 a kg = 0.03
#   faces 2 × 160 × 80 = 0.0256 m²: one disc 0.60; × 2 coats × 0.05 l × 40.00 = 0.10
#   minutes 45 + 3 strips × 3 + 8 cuts / 2 + 1 row × 4 + 2 joints / 4 + 2 borders × 8 + 2.56 dm² × (3 + 1)
#     + 3 stops × 2 = 94.74, 1.579 hours: 31.58 and 5.53
#   made 43.49; reserve 43.49 / 0.96 − 43.49 = 1.81; packaging 4.50: cost 49.80
#   a fifth to keep: 49.80 / 0.8 = 62.25; an hour earns (62.25 − 18.22) / 1.579 = 27.88
ON_PAPER = {
    "finished_length": "160", "finished_height": "80", "tiles": "2", "pieces": "5", "spares": "0",
    "hours": "1579/1000", "cost": "49.80", "price": "62.25", "profit": "12.45", "break_even": "49.80",
    "hour_earns": "27.88",
}  # fmt: skip
LINES_ON_PAPER = ["4.43", "1.22", "0.03", "0.60", "0.10", "31.58", "5.53", "1.81", "4.50"]


@pytest.fixture
def small_design(owner):
    add_woods("sycamore", "walnut-black")
    design = Design.objects.create(name="Two tiles")
    pattern = Pattern.of([[None, "walnut-black", "walnut-black", None]])
    PatternVersion.objects.create(design=design, number=1, pattern=pattern.to_text(), height=1, width=4)
    return design


def reckoned(client, design, **typed):
    return client.get(reverse("plans:reckoning", args=[design.pk]), typed_board(**typed))


def test_a_small_board_comes_to_what_it_comes_to_on_paper(owner_client, small_design):
    view = reckoned(owner_client, small_design, pitch="20", side_border="40", end_border="30").context["view"]
    assert {name: view.figures[name]["value"][1] for name in ON_PAPER} == ON_PAPER
    assert [line["figure"]["value"][1] for line in view.cost_lines()] == LINES_ON_PAPER
    bf = Fraction("2359737.216")  # mm³ in a board foot: 144 cubic inches of 25.4 mm
    sawn = {w.record["name"]: Fraction(w.record["gross"]["value"][1]) * bf for w in view.woods()}
    assert sawn == {
        "American sycamore": Fraction("1046454.6"),
        "Black walnut": Fraction("288575.75"),
    }


def test_half_a_minute_is_shown_as_half_a_minute(owner_client, small_design):
    words = plain(reckoned(owner_client, small_design))
    assert "Counted 8 cuts; Minutes each 0.5 min" in words
    assert "Counted 2 joints; Minutes each 0.25 min" in words
    assert "Counted 1 batch; Minutes each 45 min" in words


TERMS = {
    "plain": {},
    "tax in the price": {"tax": Fraction(19, 100), "tax_included": True},
    "tax on top": {"tax": Fraction(8, 100), "tax_included": False},
    "carriage": {"carriage_charged": Decimal("9.90"), "carriage_paid": Decimal("7.35")},
    "all of it": {
        "tax": Fraction(20, 100),
        "tax_included": True,
        "carriage_charged": Decimal("12"),
        "carriage_paid": Decimal("8.50"),
        "ending": Decimal(9),
    },
    "no decimals": {"currency_exponent": 0, "currency_symbol": "¥", "hour": Decimal(2000)},
    "three decimals": {"currency_exponent": 3, "currency_symbol": "د", "carriage_charged": Decimal("1.255")},
}


@pytest.mark.parametrize("terms", TERMS)
@pytest.mark.parametrize("quantity", ["1", "3", "7"])
def test_the_parts_of_a_price_add_up_to_it_as_they_are_shown(owner, owner_client, terms, quantity):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    # Woods may be called anything; the sums must not take one for a line of the cost.
    WoodOnHand.objects.filter(wood="sycamore").update(name="Labour")
    WoodOnHand.objects.filter(wood="padauk").update(name="Glue")
    workshop = Workshop.objects.create(pk=1, **TERMS[terms])
    Fee.objects.create(workshop=workshop, place=0, name="stall", percent=Fraction(6, 100), fixed=Decimal("0.30"))
    Fee.objects.create(workshop=workshop, place=1, name="card", percent=Fraction(2, 100), on_tax=True)
    view = reckoned(owner_client, design, quantity=quantity).context["view"]
    figures = {name: Fraction(f["value"][1]) for name, f in view.figures.items() if f["unit"] == "money"}
    parts = {t["name"]: Fraction(t["figure"]["value"][1]) for t in view.figures["price"]["terms"]}
    charged = Fraction(workshop.carriage_charged)
    assert parts.get("Carriage the buyer pays", 0) == charged
    assert sum(parts.values()) - 2 * charged == figures["price"]
    assert sum(Fraction(share.figure["value"][1]) for share in view.shares()) == figures["price"] + charged
    assert sum(share.percent for share in view.shares()) == 1
    # One cent at most between the cost of one board and the cost of all shared out.
    assert abs(figures["cost"] - figures["cost_all"] / int(quantity)) <= Fraction(10) ** -workshop.currency_exponent
    fees = view.figures["fees"]["terms"]
    assert [fee["name"] for fee in fees] == ["stall", "card"]
    assert sum(Fraction(fee["figure"]["value"][1]) for fee in fees) == figures["fees"]
    tax = next((Fraction(t["figure"]["value"][1]) for t in view.figures.get("buyer_pays", {"terms": []})["terms"]
                if t["name"] == "Tax"), 0)  # fmt: skip
    assert figures.get("buyer_pays", figures["price"]) == figures["price"] + charged + tax
    # What an hour earns, from the shown parts alone.
    earns = {t["name"]: Fraction(t["figure"]["value"][1]) for t in view.figures["hour_earns"]["terms"]}
    left = earns.pop("Price") + earns.pop("Carriage the buyer pays", 0)
    hours = earns.pop("Hours of one board")
    unit = Fraction(10) ** -workshop.currency_exponent
    assert abs((left - sum(earns.values())) / hours - figures["hour_earns"]) <= unit / 2


def test_several_boards_say_which_figures_are_for_all_and_which_for_one(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    words = plain(reckoned(owner_client, design_with_pattern(owner), quantity="3"))
    for said in ("Wood for 3 boards, spares included", "A price worth asking for each board", "Hours for all 3, likely",
                 "Hours for each board", "Cost of all boards", "Pieces in a board"):  # fmt: skip
        assert said in words, said


def test_a_kept_plan_says_everything_that_was_asked(owner_client, small_design):
    typed = typed_board(use="trivet", pitch="20", side_border="40", end_border="30")
    key = {"form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("plans:reckoning", args=[small_design.pk]), {**typed, **key})
    words = plain(owner_client.get(Plan.objects.get().get_absolute_url()))
    for said in ("Made to stand hot things on", "Pitch of a tile 20 mm", "Side borders, each 40 mm", "Thick 20 mm",
                 "Top and bottom borders, each 30 mm", "Border and background wood American sycamore",
                 "leaves 20 % of it"):  # fmt: skip
        assert said in words, said


def test_a_kept_price_stays_in_the_money_it_was_reckoned_in(owner_client, small_design):
    typed = typed_board(pitch="20", side_border="40", end_border="30")
    key = {"form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("plans:reckoning", args=[small_design.pk]), {**typed, **key})
    Workshop.objects.update_or_create(pk=1, defaults={"currency_symbol": "¥", "currency_exponent": 0})
    for page in (Plan.objects.get().get_absolute_url(), reverse("plans:plans"), reverse("home:start")):
        words = plain(owner_client.get(page))
        assert "€ 62.25" in words and "¥" not in words, page


def test_a_price_the_book_cannot_hold_is_refused_in_words_and_nothing_is_kept(owner_client, small_design):
    times = dict.fromkeys(("setup_job", "strip", "crosscut"), "10000")
    Workshop.objects.create(pk=1, hour=Decimal(99_999_999), times=times)
    typed = typed_board(quantity="500", form_key=secrets.token_urlsafe(24))
    answer = owner_client.post(reverse("plans:reckoning", args=[small_design.pk]), typed)
    assert answer.status_code == 422 and "so large cannot be kept" in answer.content.decode()
    assert not Plan.objects.exists()
    assert owner_client.get(reverse("plans:plans")).status_code == 200


def plain(answer) -> str:
    """The words of a page, spaces made one."""
    words = html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))
    return re.sub(r"\s+([,;.])", r"\1", " ".join(words.split()))


def test_a_shop_of_inches_reads_a_weight_in_pounds_as_well():
    # 1.49 kg ÷ 0.45359237 = 3.285 lb.
    shop = Workshop(unit="in")
    record = {"value": ["fraction", "149/100"], "unit": "kg"}
    assert value_in_words(record, shop) == "1.49\u00a0kg (3.3\u00a0lb)"
    assert value_in_words(record, Workshop(unit="mm")) == "1.49\u00a0kg"
