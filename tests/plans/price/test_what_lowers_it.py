"""What would lower a price: each change comes to what it says when it is reckoned, and costs what it says."""

from __future__ import annotations

import secrets
from decimal import Decimal
from fractions import Fraction
from urllib.parse import parse_qsl, urlsplit

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.matching import score
from planner.measures import Length
from planner.pattern import Pattern
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import Supply, WoodOnHand
from shopapp.people.models import Member
from shopapp.plans import planning as plans
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import Plan
from shopapp.plans.price.lowering.readers import followed
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern, typed_board

LANTERN = """
..........
...kkkk...
..k....k..
..krrrrk..
.kkkkkkkk.
.k.yrry.k.
.k.ryyr.k.
.kkkkkkkk.
..krrrrk..
..........
"""
PRICES = {"padauk": "22", "walnut-black": "18", "sapele": "9", "birch-yellow": "7", "sycamore": "10", "maple-hard": "6"}


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    add_woods(*PRICES)
    for wood, price in PRICES.items():
        WoodOnHand.objects.filter(wood=wood).update(price=Decimal(price))
    return design_with_pattern(owner, LANTERN, "Lantern")


@pytest.fixture(scope="module")
def plan(owner, design):
    return keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())


def lower(client, plan):
    return client.get(reverse("plans:price_lower", args=[plan.pk]))


def seen_of(client, plan):
    return lower(client, plan).context["lowered"]


def price_of(view) -> Decimal:
    return Decimal(view.figures["price"]["value"][1])


def test_each_change_comes_to_what_it_says_when_its_address_is_reckoned(owner_client, plan):
    seen = seen_of(owner_client, plan)
    assert {one.change.kind for one in seen.changes} >= {
        "copies",
        "smaller",
        "borders",
        "wood",
        "border",
    }
    for one in seen.changes:
        view = owner_client.get(one.address).context["view"]
        assert price_of(view) == one.change.price, one.words
        assert one.change.saved == seen.found.price - one.change.price > 0
        if one.change.size is not None:
            assert view.hanging_size == one.change.size
        if one.change.seam is not None:
            assert Fraction(view.record["weakest"]["share"]) == one.change.seam


def test_what_saves_most_stands_first(owner_client, plan):
    saved = [one.change.saved for one in seen_of(owner_client, plan).changes]
    assert saved == sorted(saved, reverse=True) and min(saved) >= Decimal(plan.price) / 200


def test_no_seam_is_made_weaker_than_the_maker_lets_it_be(owner, owner_client, design):
    """What lowers the price by leaving the weakest seam too little long grain is left out."""
    Workshop.objects.update_or_create(pk=1, defaults={"least_carried": Fraction(55, 100)})
    strict = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    now = Fraction(strict.record["weakest"]["share"])
    for one in seen_of(owner_client, strict).changes:
        weakest = owner_client.get(one.address).context["view"].record["weakest"]
        assert weakest is None or Fraction(weakest["share"]) >= min(now, Fraction(55, 100)), one.words


def test_what_the_planner_refuses_is_no_choice(owner, owner_client, design):
    """Tiles as narrow as the narrowest strip ripped cannot become narrower, nor a board thinner than it may be."""
    Workshop.objects.update_or_create(pk=1, defaults={"narrowest_strip": Length.of_mm(16)})
    narrow = board(pitch=Length.of_mm(16), thickness=Length.of_mm(13))
    plan = keep_plan(who=owner, version=design.versions.get(), board=narrow, workshop=the_workshop())
    assert not {"smaller", "thinner"} & {one.change.kind for one in seen_of(owner_client, plan).changes}


def test_a_wood_is_laid_in_another_only_where_the_picture_can_still_be_read(owner_client, plan):
    """Held against the scoring of any choice of woods: three quarters of the edges, seven tenths in order."""
    pattern = Pattern.from_text(plan.version.pattern)
    looks = {row.wood: row.rgb for row in WoodOnHand.objects.all()}
    cells = np.array([list(row) for row in pattern.rows]) - 1
    changes = [one for one in seen_of(owner_client, plan).changes if one.change.laid[0]]
    assert changes
    for one in changes:
        (was, now) = one.change.laid
        worn = [now if wood == was else wood for wood in pattern.woods]
        scores = score(cells, [looks[w] for w in pattern.woods], looks, worn, background_rgb=looks["sycamore"])
        assert scores.legibility >= 0.75 and scores.order >= 0.7
        assert one.change.edges == pytest.approx(scores.legibility)
        assert any("of 100 of the picture’s edges are kept" in words for words in one.costs)


def test_one_board_of_several_is_reckoned_afresh_for_each_number(owner_client, plan):
    rows = seen_of(owner_client, plan).found.copies
    assert [row.copies for row in rows] == list(range(1, 11))
    for row in rows[::3]:
        record = plans.reckon_board(plan.version, board(quantity=row.copies), the_workshop())[1]
        figures = record["figures"]
        assert str(row.price) == figures["price"]["value"][1] and str(row.cost) == figures["cost"]["value"][1]
        assert row.profit_all == Decimal(figures["profit"]["value"][1]) * row.copies
        assert row.hours_each == Fraction(figures["hours"]["value"][1]) / row.copies


def test_several_boards_say_what_is_paid_out_before_they_are_sold(owner_client, plan):
    for one in seen_of(owner_client, plan).changes:
        if one.change.kind == "copies":
            terms = owner_client.get(one.address).context["view"].figures["cost_all"]["terms"]
            paid = sum(Decimal(t["figure"]["value"][1]) for t in terms if t["name"] != "Labour")
            assert one.change.ahead == paid


def test_where_nothing_lowers_it_that_is_said(owner, owner_client, design):
    """Prices that all end in 999.00 leave no room for less."""
    Workshop.objects.update_or_create(pk=1, defaults={"ending": Decimal(999)})
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    answer = lower(owner_client, plan)
    found = answer.context["lowered"].found
    assert found.changes == [] and found.tried > 10
    assert f"Nothing that was tried lowers the € {found.price}" in answer.content.decode().replace("\u00a0", " ")


def test_without_a_price_there_is_nothing_to_lower(owner, owner_client, design):
    dear = keep_plan(
        who=owner, version=design.versions.get(), board=board(margin=Fraction(99, 100)), workshop=the_workshop()
    )
    Workshop.objects.update_or_create(pk=1, defaults={"edit_version": 1})
    the_workshop().fees.create(place=0, name="stall", percent=Fraction(5, 100))
    assert "No price exists" in lower(owner_client, dear).content.decode()


def test_a_board_whose_wood_ran_out_is_said_not_to_be_reckoned_today(owner_client, plan):
    WoodOnHand.objects.filter(wood="sycamore").update(on_hand=False)
    answer = lower(owner_client, plan)
    assert answer.status_code == 200 and "is not among the woods on hand" in answer.content.decode()


def test_a_design_set_aside_has_no_reckoning_to_go_to(owner_client, plan):
    Design.objects.update(set_aside=True)
    assert "Reckon it so" not in lower(owner_client, plan).content.decode()


def test_what_was_looked_for_is_not_looked_for_again_until_something_changes(owner_client, plan, monkeypatch):
    seen_of(owner_client, plan)
    looked = []
    real = plans.reckoned
    monkeypatch.setattr(plans, "reckoned", lambda *given: looked.append(1) or real(*given))
    seen_of(owner_client, plan)
    assert looked == []
    WoodOnHand.objects.filter(wood="maple-hard").update(price=Decimal("6.50"))
    seen_of(owner_client, plan)
    assert looked


def test_the_reckoning_asks_for_a_few_and_leads_to_all(owner_client, design):
    page = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board()).content.decode()
    address = reverse("plans:lower", args=[design.pk])
    assert f'hx-get="{address}"' in page
    part = owner_client.get(address, typed_board(), headers={"HX-Request": "true"})
    body = part.content.decode()
    assert "<html" not in body and body.count("<li>") == 4 and f"{address}?" in body
    whole = owner_client.get(address, typed_board())
    assert len(whole.context["lowered"].changes) > 4 and "One board of several" in whole.content.decode()


def test_what_cannot_be_read_is_mended_first(owner_client, design):
    answer = owner_client.get(reverse("plans:lower", args=[design.pk]), typed_board(pitch="x"))
    assert answer.status_code == 422 and "mended" in answer.content.decode()


# --- a drawing laid in other woods ---


def test_a_plan_of_other_woods_keeps_the_drawing_in_them_first(owner, owner_client, plan, design):
    one = next(one for one in seen_of(owner_client, plan).changes if one.change.laid[0])
    view = owner_client.get(one.address)
    assert "Laid here in other woods than the drawing" in view.content.decode()
    asked = dict(parse_qsl(urlsplit(one.address).query))
    form = {**asked, "form_key": secrets.token_urlsafe(24), "edit_version": asked["drawing"]}
    address = reverse("plans:reckoning", args=[design.pk])
    assert owner_client.post(address, form).status_code == 302
    kept = Plan.objects.first()
    assert (kept.version.number, kept.version.parent.number) == (2, 1)
    (was, now) = one.change.laid
    before, after = Pattern.from_text(plan.version.pattern), Pattern.from_text(kept.version.pattern)
    for row in range(before.height):
        for column in range(before.width):
            cell = before.cell(row, column)
            assert after.cell(row, column) == (now if cell == was else cell)
    assert kept.price == one.change.price and kept.record["pattern"] == kept.version.pattern
    # The same form a second time keeps nothing more.
    owner_client.post(address, form)
    assert PatternVersion.objects.filter(design=design).count() == 2 and Plan.objects.filter(design=design).count() == 2


@pytest.mark.parametrize("laid", ["x", "padauk", "oak~sapele", "padauk~unobtainium", "padauk~sapele,", "~", "é~é"])
@pytest.mark.parametrize("name", ["reckoning", "methods", "lower"])
def test_woods_that_cannot_be_laid_so_are_said_in_words(owner_client, design, laid, name):
    answer = owner_client.get(reverse(f"plans:{name}", args=[design.pk]), typed_board(laid=laid))
    assert answer.status_code in (200, 422)
    body = answer.content.decode()
    assert any(words in body for words in ("cannot be read", "is not in this drawing", "not among the woods on hand"))


def test_every_way_of_a_drawing_in_other_woods_stays_in_them(owner_client, design):
    answer = owner_client.get(reverse("plans:methods", args=[design.pk]), typed_board(laid="padauk~sapele"))
    ways = [way for way in answer.context["compared"].ways if way.address]
    assert ways and all("laid=padauk%7Esapele" in way.address or "laid=padauk~sapele" in way.address for way in ways)


# --- what is on the shelf ---


def test_what_is_on_the_shelf_is_reckoned_at_its_average_and_says_so(owner, owner_client, design):
    """4 kg for 36.00 and 1 kg for 14.00: 50.00 for 5 kg, 10.00 a kilogram."""
    Supply.objects.create(name="Bone", kind="glue", unit="kg", amount=Decimal(4), worth=Decimal(36))
    Supply.objects.create(name="White", kind="glue", unit="g", amount=Decimal(1000), worth=Decimal(14))
    Supply.objects.create(name="Old", kind="glue", unit="kg", amount=Decimal(1), worth=Decimal(90), kept=False)
    inputs, record = plans.reckon_board(design.versions.first(), board(), the_workshop())
    assert Decimal(inputs["rates"]["glue_per_kg"]) == 10 and inputs["rates"]["at_average"] == ["glue_per_kg"]
    (glue,) = [term["figure"] for term in record["figures"]["cost_all"]["terms"] if term["name"] == "Glue"]
    price = next(term["figure"] for term in glue["terms"] if term["name"] == "Price per kg")
    assert Decimal(price["value"][1]) == 10 and price["source"] == "the moving average of what is on the shelf"


def test_the_page_takes_as_many_queries_for_a_large_board_as_for_a_small(owner, owner_client, plan):
    large = Design.objects.create(name="Stripes")
    rows = [["walnut-black", "padauk"] * 8 if n % 2 else ["birch-yellow"] * 16 for n in range(16)]
    rows = [[None, *row, None] for row in rows]
    text = Pattern.of(rows).to_text()
    version = PatternVersion.objects.create(design=large, number=1, pattern=text, height=16, width=18)
    other = keep_plan(who=owner, version=version, board=board(), workshop=the_workshop())
    counts = set()
    for one in (plan, other):
        with CaptureQueriesContext(connection) as taken:
            assert lower(owner_client, one).status_code == 200
        counts.add(len(taken))
    assert len(counts) == 1 and counts.pop() <= 14


@pytest.mark.parametrize(
    ("swaps", "laid", "at_last"),
    [
        ({}, ("a", "b"), {"a": "b"}),
        # What was laid in b goes on to c with the b that was there.
        ({"a": "b"}, ("b", "c"), {"a": "c", "b": "c"}),
        ({"a": "x"}, ("x", "c"), {"a": "c"}),
        # Laid back into itself, nothing is laid in another.
        ({"a": "x"}, ("x", "a"), {}),
        ({"a": "x"}, ("", ""), {"a": "x"}),
    ],
)
def test_swaps_after_swaps_are_followed_to_the_wood_that_is_laid_at_last(swaps, laid, at_last):
    assert followed(("a", "b"), swaps, laid) == at_last


def test_changes_of_a_drawing_in_other_woods_go_on_from_those(owner_client, design):
    asked = typed_board(laid="padauk~sapele")
    found = owner_client.get(reverse("plans:lower", args=[design.pk]), asked).context["lowered"]
    now = owner_client.get(reverse("plans:reckoning", args=[design.pk]), asked).context["view"]
    assert found.found.price == price_of(now)
    for one in found.changes:
        assert price_of(owner_client.get(one.address).context["view"]) == one.change.price, one.words
