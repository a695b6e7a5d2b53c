"""What stands at the foot of an offer and of its invoice, to the coin."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.pricing import PricingError, Terms, offer_sums, settle

D = Decimal


def test_tax_on_top_is_worked_out_once_on_the_whole_sum():
    # By hand: three lines of 0.10 at 15 % are 0.30 and 0.045, so 0.05 once; each by itself would make 0.06.
    sums = offer_sums([(D("0.10"), 1)] * 3, tax=Fraction(15, 100))
    assert (sums.net, sums.tax, sums.gross) == (D("0.30"), D("0.05"), D("0.35"))


def test_tax_that_is_in_the_prices_comes_out_of_their_sum():
    # By hand: 228.00 + 12.00 hold 20 %, which is 40.00 of 240.00.
    sums = offer_sums([(D("228.00"), 1)], D("12.00"), Fraction(20, 100), True)
    assert (sums.net, sums.tax, sums.gross) == (D("200.00"), D("40.00"), D("240.00"))


def test_the_deposit_is_a_share_of_what_the_buyer_pays_and_the_balance_is_the_rest():
    # By hand: half of 100.01 is 50.005, a half goes up; 50.00 are left.
    sums = offer_sums([(D("100.01"), 1)], deposit_share=Fraction(1, 2))
    assert (sums.deposit, sums.balance) == (D("50.01"), D("50.00"))


def test_nothing_down_and_everything_down():
    lines = [(D("10.00"), 3)]
    assert offer_sums(lines).balance == D("30.00")
    assert offer_sums(lines, deposit_share=Fraction(1)).balance == 0


def test_what_is_given_back_mirrors_what_was_asked_to_the_coin():
    asked = offer_sums([(D("33.35"), 3)], D("4.95"), Fraction(19, 100), True)
    back = offer_sums([(D("-33.35"), 3)], D("-4.95"), Fraction(19, 100), True)
    assert (back.net, back.tax, back.gross) == (-asked.net, -asked.tax, -asked.gross)


def test_an_offer_of_nothing_comes_to_nothing():
    assert offer_sums([]).gross == 0


def test_a_currency_without_decimals_has_sums_without_them():
    sums = offer_sums([(D(1001), 1)], D(0), Fraction(10, 100), False, Fraction(1, 2), 0)
    assert [str(x) for x in (sums.net, sums.tax, sums.gross, sums.deposit)] == ["1001", "100", "1101", "551"]


cents = st.integers(0, 500_000).map(lambda n: D(n) / 100)
taxes = st.sampled_from(["0", "0.07", "0.19", "0.2", "0.25", "0.0825"]).map(Fraction)
any_lines = st.lists(st.tuples(cents, st.integers(0, 40)), max_size=6)


@settings(deadline=None)
@given(any_lines, cents, taxes, st.booleans(), st.fractions(0, 1, max_denominator=100))
def test_the_lines_as_printed_add_up_to_the_whole_and_so_do_its_parts(lines, carriage, tax, included, share):
    sums = offer_sums(lines, carriage, tax, included, share)
    assert sum(sums.by_line) + sums.carriage == (sums.gross if included else sums.net)
    assert sums.net + sums.tax == sums.gross == sums.deposit + sums.balance
    assert all(0 <= amount <= sums.gross for amount in (sums.tax, sums.net, sums.deposit, sums.balance))


@settings(deadline=None)
@given(any_lines, cents, taxes, st.booleans())
def test_an_offer_comes_to_what_a_sale_of_the_same_settles_to(lines, carriage, tax, included):
    sums = offer_sums(lines, carriage, tax, included)
    terms = Terms(tax=tax, tax_included=included, carriage_charged=carriage)
    deal = settle(sum((price * count for price, count in lines), D(0)), D(0), terms)
    assert (sums.tax, sums.gross) == (deal.tax, deal.buyer_pays)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"tax": Fraction(-1, 5)}, "tax"),
        ({"deposit_share": Fraction(101, 100)}, "deposit"),
        ({"deposit_share": Fraction(-1, 100)}, "deposit"),
        ({"carriage": D("4.955")}, "carriage"),
        ({"lines": [(D("4.955"), 1)]}, "price"),
        ({"lines": [(D("4.95"), -1)]}, "count"),
        ({"lines": [(D("4.95"), 1)], "exponent": 0}, "price"),
    ],
)
def test_what_cannot_stand_on_an_offer_is_named(asked, field):
    with pytest.raises(PricingError) as refused:
        offer_sums(**({"lines": [(D("10.00"), 1)]} | asked))
    assert refused.value.field == field
    assert refused.value.mend
