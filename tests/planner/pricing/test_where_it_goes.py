"""Every cent the buyer pays goes somewhere, and a loss is what the maker adds."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.pricing import Fee, Terms, by_kind, settle, where_it_goes
from planner.pricing.shares import KINDS
from tests.planner.pricing.board import TERMS, cost_of

D = Decimal
COST = cost_of()


def goes(price, terms=TERMS, cost=COST):
    return {share.name: share for share in where_it_goes(cost, D(price), terms)}


def test_the_worked_board_is_told_line_by_line():
    # The lines of the worked board, its two fees and what is left at 376.53; 390.53 are paid.
    assert {name: str(share.money) for name, share in goes("376.53").items()} == {
        "walnut": "12.80",
        "maple": "8.40",
        "cherry": "5.20",
        "Glue": "0.99",
        "Abrasives": "9.00",
        "Finish": "1.76",
        "Labour": "210.00",
        "Overhead": "36.75",
        "Reserve for boards lost": "11.87",
        "Packaging": "4.50",
        "Carriage": "14.00",
        "marketplace": "25.58",
        "card": "12.02",
        "Yours to keep": "37.66",
    }
    assert goes("376.53")["Labour"].share == Fraction(21000, 39053)


def test_kinds_are_summed_in_one_order():
    found = by_kind(where_it_goes(COST, D("376.53"), TERMS))
    assert [(kind, str(money)) for kind, money, _ in found] == [
        ("wood", "26.40"),
        ("supplies", "11.75"),
        ("labour", "210.00"),
        ("overhead", "36.75"),
        ("reserve", "11.87"),
        ("packaging", "4.50"),
        ("carriage", "14.00"),
        ("fee", "37.60"),
        ("profit", "37.66"),
    ]
    assert sum(share for *_, share in found) == 1


def test_a_loss_is_shown_as_one():
    loss = goes("303.20")["Loss"]
    assert (loss.kind, str(loss.money)) == ("loss", "-28.71") and loss.share < 0
    assert "Yours to keep" not in goes("303.20")


def test_tax_is_a_share_whether_it_is_in_the_price_or_on_top():
    included = goes("376.53", replace(TERMS, tax=Fraction(20, 100), tax_included=True))
    # By hand: a sixth of 390.53 is 65.088.
    assert str(included["Tax"].money) == "65.09"
    on_top = goes("376.53", replace(TERMS, tax=Fraction(20, 100)))
    # A fifth of 390.53 is 78.106; the buyer pays 468.64.
    assert str(on_top["Tax"].money) == "78.11"
    assert sum(share.money for share in on_top.values()) == D("468.64")


def test_an_even_price_keeps_nothing_and_says_so():
    kept = goes("334.92")["Yours to keep"]
    assert (kept.kind, kept.money) == ("profit", 0)


def test_a_price_of_nothing_has_no_shares_but_still_a_loss():
    shares = where_it_goes(COST, D("0.00"), Terms())
    assert sum(share.money for share in shares) == 0
    assert all(share.share == 0 for share in shares)
    assert shares[-1].money == -COST.value


def test_an_amount_finer_than_a_coin_leaves_a_line_that_says_what_it_came_to():
    # By hand: 390.534 are paid as 390.53 and 14.006 to the carrier as 14.01; with fees of 37.60, the cost and
    # 37.658 kept as 37.66 that is 390.54.
    found = goes("376.53", replace(TERMS, carriage_charged=D("14.004"), carriage_paid=D("14.006")))
    assert (found["Rounding"].kind, found["Rounding"].money) == ("rounding", D("-0.01"))
    assert sum(share.money for share in found.values()) == D("390.53")


cents = st.integers(0, 90_000).map(lambda n: D(n) / 100)


@settings(max_examples=150, deadline=None)
@given(
    cents,
    st.lists(
        st.builds(
            Fee,
            percent=st.integers(0, 2500).map(lambda n: Fraction(n, 10_000)),
            fixed=st.integers(0, 200).map(lambda n: D(n) / 100),
            on_carriage=st.booleans(),
            on_tax=st.booleans(),
            name=st.sampled_from(["marketplace", "card"]),
        ),
        max_size=3,
    ).map(tuple),
    st.sampled_from(["0", "0.08", "0.2", "1/7"]).map(Fraction),
    st.booleans(),
    st.integers(0, 4000).map(lambda n: D(n) / 100),
    st.integers(0, 4000).map(lambda n: D(n) / 100),
    st.sampled_from([1, 2, 3]),
)
def test_the_shares_add_up_to_what_the_buyer_pays_to_the_cent(price, fees, tax, included, paid, charged, copies):
    terms = Terms(fees, tax, included, carriage_paid=paid, carriage_charged=charged)
    cost = cost_of(copies)
    shares = where_it_goes(cost, price, terms)
    deal = settle(price, cost.value, terms)
    assert sum(share.money for share in shares) == deal.buyer_pays
    assert sum((share.share for share in shares), Fraction(0)) == (1 if deal.buyer_pays else 0)
    assert shares[-1].money == deal.profit and (shares[-1].kind == "loss") == (deal.profit < 0)
    assert {share.kind for share in shares} <= set(KINDS) - {"rounding"}
    assert all(share.money > 0 for share in shares[:-1])
