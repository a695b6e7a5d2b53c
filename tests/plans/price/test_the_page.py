"""The page of a price: every sum on it adds up, and any price named is settled as the planner settles it."""

from __future__ import annotations

import html
import json
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shopapp.common.templatetags.shop import value_in_words
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.cutting.doors import cutting_of
from shopapp.plans.price.planning import Sale
from shopapp.workshop.models import Fee, Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.sawing import a_rack, keep
from tests.support.shop import add_woods, board, design_with_pattern

CENT = Decimal("0.01")


def coins(exact: Fraction) -> Decimal:
    """To the cent, a half away from nought."""
    whole, part = divmod(abs(exact) * 100, 1)
    return Decimal(int(whole) + (part >= Fraction(1, 2))).scaleb(-2) * (-1 if exact < 0 else 1)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def shop(owner):
    """Tax in the price, a fee with a minimum and one on the tax, and a carrier's tariff."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    Workshop.objects.update_or_create(
        pk=1,
        defaults={
            "tax": Fraction(20, 100),
            "tax_included": True,
            "carriage_charged": Decimal("6.00"),
            "carrier_tariff": [["1", "4.90"], ["5", "8.90"]],
            "edit_version": 1,
        },
    )
    Fee.objects.create(workshop_id=1, place=0, name="stall", percent=Fraction(65, 1000), minimum=Decimal(5))
    Fee.objects.create(
        workshop_id=1, place=1, name="card", percent=Fraction(3, 100), fixed=Decimal("0.30"), on_tax=True
    )
    return the_workshop()


@pytest.fixture(scope="module")
def design(owner, shop):
    return design_with_pattern(owner)


@pytest.fixture(scope="module")
def plan(owner, shop, design):
    return keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=shop)


@pytest.fixture(scope="module")
def three(owner, shop, design):
    return keep_plan(who=owner, version=design.versions.get(), board=board(quantity=3), workshop=shop)


def page(client, plan, **asked):
    return client.get(reverse("plans:price", args=[plan.pk]), asked)


def amount(figure) -> Decimal:
    return Decimal(figure["value"][1])


def words_of(answer) -> str:
    text = re.sub(r"<svg.*?</svg>|<[^>]+>", " ", answer.content.decode(), flags=re.S)
    return re.sub(r"\s+", " ", html.unescape(text))


@pytest.mark.parametrize("which", ["plan", "three"])
@pytest.mark.parametrize("ask", ["", "0", "0.01", "20", "97.35", "250", "99999"])
def test_the_lines_add_up_to_what_the_buyer_pays_and_are_drawn_so(owner_client, plan, three, which, ask):
    answer = page(owner_client, three if which == "three" else plan, ask=ask)
    priced = answer.context["priced"]
    buyer = amount(priced.figures.get("buyer_pays", priced.figures["price"]))
    lines = [amount(share.figure) for share in priced.shares]
    assert sum(lines) == priced.whole == buyer
    whole, *drawn = re.findall(r'data-sum="([^"]+)"', answer.context["drawn"]["wide"])
    assert Decimal(whole) == buyer and [Decimal(line) for line in drawn] == lines


@pytest.mark.parametrize("ask", ["0", "20", "97.35", "188.88", "250"])
def test_any_price_is_settled_as_a_few_plain_lines_settle_it(owner_client, plan, ask):
    """Tax 20 % in price and carriage; 6.5 % of both net, at least 5.00; 3 % of both with tax and 0.30; the wage is what
    is left over every cost but labour, an hour."""
    figures = page(owner_client, plan, ask=ask).context["priced"].figures
    record = plan.record["figures"]
    price, cost, hours = Fraction(ask), Fraction(record["cost"]["value"][1]), Fraction(record["hours"]["value"][1])
    net = (price + 6) / Fraction(12, 10)
    tax = coins(net * Fraction(20, 100))
    stall = max(coins(net * Fraction(65, 1000)), Decimal(5))
    card = coins(net * Fraction(3, 100) * Fraction(12, 10) + Fraction(3, 10))
    sent = Fraction(record["carriage"]["value"][1])
    left = price + 6 - Fraction(tax) - Fraction(stall) - Fraction(card) - sent
    assert amount(figures["fees"]) == stall + card
    assert amount(figures["profit"]) == coins(left - cost)
    labour = next(t for t in record["cost_all"]["terms"] if t["name"] == "Labour")
    other = cost - Fraction(labour["figure"]["value"][1])
    assert amount(figures["hour_earns"]) == coins((left - other) / hours)
    assert Fraction(figures["markup"]["value"][1]) == Fraction(amount(figures["profit"])) / cost


def test_unless_a_price_is_named_the_page_says_what_the_plan_was_kept_with(owner_client, plan):
    priced = page(owner_client, plan).context["priced"]
    kept = plan.record["figures"]
    assert not priced.named
    for name in ("price", "profit", "fees", "break_even", "cash_floor", "hour_earns", "buyer_pays", "margin", "markup"):
        assert priced.figures[name] == kept[name]
    assert "20 % of the price to keep was asked" in words_of(page(owner_client, plan))


def test_settled_anew_the_kept_price_says_the_same(plan, three):
    for one in (plan, three):
        again = Sale(one.record, json.loads(one.inputs)).figures_at(Decimal(one.record["figures"]["price"]["value"][1]))
        for name, figure in again.items():
            assert figure["value"] == one.record["figures"][name]["value"], name


def test_at_break_even_an_hour_earns_what_it_is_worth(owner_client, plan):
    even = amount(plan.record["figures"]["break_even"])
    figures = page(owner_client, plan, ask=str(even)).context["priced"].figures
    # The price is a whole cent, so that up to a cent more than the hours' worth may be shared out over them.
    assert 0 <= amount(figures["hour_earns"]) - Decimal(20) <= CENT
    assert 0 <= amount(figures["profit"]) <= CENT


def test_below_the_cash_floor_and_at_a_loss_are_told_apart(owner_client, plan):
    floor = amount(plan.record["figures"]["cash_floor"])
    assert "Below the cash floor" in words_of(page(owner_client, plan, ask=str(floor - CENT)))
    at_floor = words_of(page(owner_client, plan, ask=str(floor)))
    assert "Below the cash floor" not in at_floor and "A loss" in at_floor
    assert "A loss" not in words_of(page(owner_client, plan))


def test_a_friend_s_price_is_so_much_less_and_says_what_it_leaves(owner_client, plan):
    answer = page(owner_client, plan, friends="35")
    friend, price = answer.context["priced"].friend, amount(plan.record["figures"]["price"])
    assert friend.price == (price * Decimal("0.65")).quantize(CENT, ROUND_HALF_UP)
    at_it = page(owner_client, plan, ask=str(friend.price)).context["priced"].figures
    assert friend.profit == amount(at_it["profit"]) and friend.wage == amount(at_it["hour_earns"])
    assert friend.loss_against_list == amount(plan.record["figures"]["profit"]) - friend.profit
    assert friend.floor == amount(at_it["cash_floor"])


def test_friends_are_let_off_what_the_settings_say_unless_the_page_asks_another(owner_client, plan):
    assert page(owner_client, plan).context["form"]["friends"].value() == "20"


def test_a_gift_costs_what_is_paid_out_and_its_hours_are_told_unpaid(owner_client, three):
    cash, hours, unpaid = page(owner_client, three).context["priced"].gift
    lines = {term["name"]: amount(term["figure"]) for term in three.record["figures"]["cost_all"]["terms"]}
    unspent = {"Labour", "Overhead", "Reserve for boards lost"}
    of_all = sum(money for name, money in lines.items() if name not in unspent)
    carriage = amount(three.record["figures"]["carriage"])
    # Lines of three boards are shared out to the cent among the lines of one.
    assert abs(amount(cash) - of_all / 3 - carriage) < CENT * 8
    assert Fraction(hours["value"][1]) == Fraction(three.record["figures"]["hours"]["value"][1]) / 3
    assert amount(unpaid) == coins(Fraction(lines["Labour"]) / 3)


def test_each_figure_of_the_page_stands_with_its_sum_in_the_part_that_is_printed(owner_client, plan, shop):
    answer = page(owner_client, plan)
    body = answer.content.decode()
    printed = html.unescape(re.sub(r"<[^>]+>", " ", body[body.index('class="on-paper"') :]))
    priced = answer.context["priced"]
    assert len(priced.sums) == 1 + len(priced.beside) + len(priced.shares) + 3
    for words, figure in priced.sums:
        assert f"{words}, {value_in_words(figure, priced.shop)}" in printed
        for term in figure["terms"]:
            assert f"{term['name']} {value_in_words(term['figure'], priced.shop)}" in printed


def test_wood_at_what_its_boards_cost_stands_beside_what_it_was_reckoned_at(owner_client, owner, plan):
    assert page(owner_client, plan).context["priced"].lots is None
    a_rack(owner)
    sheet = keep(owner, cutting_of(plan))
    answer = page(owner_client, plan)
    lots, figures = answer.context["priced"].lots, plan.record["figures"]
    assert amount(lots.actual) == sheet.cost_money.quantize(CENT, ROUND_HALF_UP)
    woods = sum(amount(term["figure"]) for term in figures["cost_all"]["terms"][: len(plan.record["woods"])])
    assert amount(lots.as_reckoned) == woods
    # The reserve, made ÷ 0.96 − made, moves with the wood.
    made = sum(amount(t["figure"]) for t in figures["cost_all"]["terms"][:-2]) - woods + amount(lots.actual)
    assert amount(lots.cost) == made + coins(Fraction(made) / Fraction(96, 100) - Fraction(made)) + Decimal("4.50")
    assert amount(lots.left) == amount(figures["profit"]) + amount(figures["cost"]) - amount(lots.cost)
    assert "The price goes by what the wood costs to buy now" in words_of(answer)


def test_a_job_s_price_is_that_of_its_plan(owner_client, owner, plan):
    job = Job.objects.get(pk=work.job(owner, plan, label="For the ferry").pk)
    answer = owner_client.get(reverse("jobs:price", args=[job.pk]))
    assert answer.context["priced"].price == page(owner_client, plan).context["priced"].price
    assert job.get_absolute_url() in answer.content.decode()


@pytest.mark.parametrize(
    ("typed", "field"), [({"ask": "x"}, "ask"), ({"ask": "-3"}, "ask"), ({"friends": "101"}, "friends")]
)
def test_what_cannot_be_read_is_said_beside_it_and_the_price_stays(owner_client, plan, typed, field):
    answer = page(owner_client, plan, **typed)
    assert answer.status_code == 422 and list(answer.context["form"].errors) == [field]
    assert answer.context["priced"].price == amount(plan.record["figures"]["price"])
    (text,) = typed.values()
    assert f'value="{text}"' in answer.content.decode()
    live = owner_client.get(reverse("plans:price", args=[plan.pk]), typed, headers={"HX-Request": "true"})
    assert live.status_code == 200 and "<html" not in live.content.decode()


def test_a_plan_of_before_says_what_it_was_kept_with(plan):
    """Kept when there were no limits of fees, no cash floor, and nothing but a margin could be asked."""
    record, inputs = json.loads(plan.result), json.loads(plan.inputs)
    for name in ("margin", "markup", "cash_floor", "carriage"):
        del record["figures"][name]
    del inputs["asked"], inputs["carrier"], inputs["packing"]
    for fee in inputs["terms"]["fees"]:
        del fee["minimum"], fee["cap"]
    sale = Sale(record, inputs)
    assert sale.target.kind == "margin" and sale.target.amount == Fraction(1, 5)
    assert sale.terms.fees[0].minimum is None
    lines = sale.shares_at(Decimal("150.00"))
    assert sum(amount(line.figure) for line in lines) == Decimal("156.00")


def test_a_plan_without_a_price_asks_for_one_and_settles_it(owner_client, owner, design):
    fees = Fee.objects.create(workshop_id=1, place=2, name="gallery", percent=Fraction(60, 100))
    dear = keep_plan(
        who=owner, version=design.versions.get(), board=board(margin=Fraction(3, 5)), workshop=the_workshop()
    )
    fees.delete()
    answer = page(owner_client, dear)
    assert dear.price is None and "No price exists" in words_of(answer)
    named = page(owner_client, dear, ask="300").context["priced"]
    assert named.whole == Decimal("306.00")


def test_the_page_takes_a_fixed_number_of_queries(owner_client, owner, plan, three):
    counts = set()
    for one in (plan, three):
        with CaptureQueriesContext(connection) as taken:
            assert page(owner_client, one).status_code == 200
        counts.add(len(taken))
    assert len(counts) == 1 and counts.pop() <= 7
