"""Where the money goes: every sum as the record has it, every bar as long as its share, in grey as in colour."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest

from planner.drawing import WoodLook, luminance
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working.money import money_svg
from planner.pricing import Fee, Terms
from planner.record import to_record
from tests.planner.drawing.marking.svg import SVG
from tests.planner.drawing.working.canvas import Drawn, assert_plain, assert_words_have_room
from tests.planner.test_reckoning import TERMS, reckoned
from tests.support.each import each

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
MARKS = ("ring", "bar", "rise")
# Of every kind of terms one: fees that are shares and fixed, tax in the price and on top, carriage paid and charged.
MARKETS = {
    "a stall": TERMS,
    "tax in it": Terms(fees=(Fee(Fraction("0.065"), Decimal("0.30")),), margin=Fraction(1, 4), tax=Fraction(1, 5),
                       tax_included=True, carriage_paid=Decimal(14)),
    "tax on top": replace(TERMS, tax=Fraction(8, 100), tax_included=False, carriage_charged=Decimal("9.50"),
                          carriage_paid=Decimal(12)),
}  # fmt: skip


def record_of(**changes):
    return json.loads(json.dumps(to_record(reckoned(**changes))))


def looks_of(record):
    return {
        wood["wood"]: WoodLook(wood["name"], tuple(wood["rgb"]), mark)
        for wood, mark in zip(record["woods"], MARKS, strict=True)
    }


def says(amount: Decimal) -> str:
    return f"$ {amount}"


def drawn(record, room=PAPER) -> Drawn:
    return Drawn(money_svg(record, looks_of(record), says, room=room))


def sums(one: Drawn) -> list[str]:
    return [text.get("data-sum") for text in one.root.iter(f"{SVG}text") if text.get("data-sum")]


def bars(one: Drawn, record) -> float:
    """How long all bars of the cost's lines are together."""
    kinds = [*(wood["wood"] for wood in record["woods"]), "supplies", "hours", "running"]
    return sum(box[2] for kind in kinds for box in one.boxes(kind))


@each("room", ROOMS.values(), ids=ROOMS)
@each("terms", MARKETS.values(), ids=MARKETS)
def test_every_sum_of_the_record_stands_there_once_and_nothing_else_does(terms, room):
    record = record_of(terms=terms)
    figures = record["figures"]
    known = [term["figure"]["value"][1] for term in figures["cost_all"]["terms"]]
    known += [t["figure"]["value"][1] for t in figures["price"]["terms"] if t["name"] != "Carriage the buyer pays"]
    if "buyer_pays" in figures:
        known += [t["figure"]["value"][1] for t in figures["buyer_pays"]["terms"] if t["name"] == "Tax"]
    known.append(figures.get("buyer_pays", figures["price"])["value"][1])
    one = drawn(record, room)
    assert sorted(sums(one)) == sorted(known)
    for amount in known:
        assert says(Decimal(amount)) in one.texts()


@each("terms", MARKETS.values(), ids=MARKETS)
def test_bars_are_as_long_as_their_shares_and_fill_the_whole(terms):
    record = record_of(terms=terms)
    one = drawn(record)
    whole = float(one.data("bar"))
    cost = {term["name"]: Fraction(term["figure"]["value"][1]) for term in record["figures"]["cost_all"]["terms"]}
    all_of_it = sum(cost.values())
    for wood in record["woods"]:
        (box,) = one.boxes(wood["wood"])
        assert box[2] / whole == pytest.approx(float(cost[wood["name"]] / all_of_it), abs=1e-4)
    (hours,) = one.boxes("hours")
    assert hours[2] / whole == pytest.approx(float(cost["Labour"] / all_of_it), abs=1e-4)
    assert bars(one, record) == pytest.approx(whole, abs=0.02)
    of_price = sum(box[2] for kind in ("tax", "fees", "carriage", "kept", "cost") for box in one.boxes(kind))
    assert of_price == pytest.approx(whole, abs=0.02)


def test_each_bar_begins_where_the_one_before_it_ended():
    record = record_of()
    one = drawn(record)
    kinds = [*(wood["wood"] for wood in record["woods"]), "supplies", "hours", "running"]
    boxes = sorted((box for kind in kinds for box in one.boxes(kind)), key=lambda box: box[1])
    for before, after in pairwise(boxes):
        assert after[0] == pytest.approx(before[0] + before[2], abs=0.01)


def test_of_several_boards_the_cost_of_all_is_told_beside_that_of_one():
    record = record_of(quantity=4)
    texts = drawn(record).texts()
    assert "Cost of all 4 boards" in texts and "Cost of a board" in texts
    assert says(Decimal(record["figures"]["cost_all"]["value"][1])) in texts
    assert says(Decimal(record["figures"]["cost"]["value"][1])) in texts


@each("room", ROOMS.values(), ids=ROOMS)
def test_where_no_price_is_set_a_word_says_why_and_the_cost_stands(room):
    record = record_of(terms=replace(TERMS, margin=Fraction(99, 100)))
    assert record["no_price"]
    one = drawn(record, room)
    assert " ".join(one.texts()).startswith(record["no_price"].split(":")[0])
    assert "Cost of a board" in one.texts() and not one.boxes("kept")
    assert record["no_price"] in one.said


@each("room", ROOMS.values(), ids=ROOMS)
@each("terms", MARKETS.values(), ids=MARKETS)
def test_words_have_room_and_a_drawing_is_plain(terms, room):
    one = drawn(record_of(terms=terms, quantity=3), room)
    assert_words_have_room(one)
    assert_plain(one)
    assert one.height < room.width * (1.2 if room is PAPER else 4)


@each("room", ROOMS.values(), ids=ROOMS)
def test_sums_of_a_currency_with_many_noughts_have_room(room):
    record = record_of(quantity=3)
    one = Drawn(money_svg(record, looks_of(record), lambda amount: f"Rp {amount * 100_000:,.0f}", room=room))
    assert_words_have_room(one)
    assert float(one.data("bar")) > room.width * 0.2


def test_kinds_are_told_apart_without_colour():
    """By hatch, mark or name; dark lines on every ground 4.5 to 1 at the least (WCAG 2.2, 1.4.3)."""
    record = record_of(terms=MARKETS["tax in it"])
    one = drawn(record)
    hatched = {kind for kind in one.kinds() if kind.startswith("hatch of ")}
    assert hatched == {
        f"hatch of {kind}" for kind in ("tax", "fees", "carriage", "kept", "supplies", "hours", "running")
    }
    ink = luminance((0x24, 0x1C, 0x15))
    for path in one.root.iter(f"{SVG}path"):
        fill = path.get("fill")
        if fill and fill.startswith("#"):
            assert (luminance(tuple(bytes.fromhex(fill[1:]))) + 0.05) / (ink + 0.05) >= 4.5, path.get("data-kind")
    assert {f"mark of {wood['wood']}" for wood in record["woods"]} <= set(one.kinds())


def test_a_wood_called_as_a_line_of_the_cost_is_still_a_wood():
    record = record_of()
    record["woods"][0]["name"] = record["figures"]["cost_all"]["terms"][0]["name"] = "Labour"
    one = drawn(record)
    assert len(one.boxes("hours")) == 1 and one.boxes(record["woods"][0]["wood"])


def test_names_are_escaped():
    record = record_of()
    record["figures"]["cost_all"]["terms"][0]["name"] = '<b>"&'
    assert '<b>"&' in drawn(record).texts()
