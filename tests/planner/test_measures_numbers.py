"""Counts, numbers, percentages and money are read exactly or refused in words."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.measures import MeasureError, parse_count, parse_money, parse_number, parse_percent
from tests.support.each import each

GARBAGE = [
    "",
    " ",
    None,
    "abc",
    "nan",
    "inf",
    "1e309",
    "-1",
    "−1",
    "1,234",
    "1.234,5",
    "1 234",
    "٣",
    "9" * 41,
    "1_0",
    "+1",
]


@each("typed", GARBAGE)
@each("read", [parse_count, parse_number, parse_percent, parse_money])
def test_garbage_negatives_and_marks_for_thousands_are_refused_by_every_reader(read, typed):
    with pytest.raises(MeasureError) as refused:
        read(typed)
    assert refused.value.what and refused.value.mend


@each("read", [parse_number, parse_percent])
def test_a_division_by_nought_is_refused(read):
    with pytest.raises(MeasureError, match="divides by nought"):
        read("3/0")


@given(st.integers(0, 10**9))
def test_every_count_is_read_back(number):
    assert parse_count(f" {number} ") == number
    assert parse_count(f"00{number}") == number


@each("typed", ["1.0", "1,5", "1/2", "½", "12 pieces"])
def test_a_count_is_a_whole_number(typed):
    with pytest.raises(MeasureError, match="not a whole number"):
        parse_count(typed)


def test_a_count_outside_its_limits_names_the_limit():
    assert parse_count("3", least=3, most=3) == 3
    assert parse_count("0", most=0) == 0
    with pytest.raises(MeasureError, match="The least is 1"):
        parse_count("0", least=1)
    with pytest.raises(MeasureError, match="The most is 200"):
        parse_count("201", least=1, most=200)
    with pytest.raises(MeasureError, match="from 1 to 200"):
        parse_count("many", least=1, most=200)
    with pytest.raises(MeasureError, match="too large"):
        parse_count("9" * 30)


@each(
    ("typed", "number"), [("12", "12"), ("2.5", "5/2"), ("2,5", "5/2"), ("1/3", "1/3"), ("1 1/2", "3/2"), (".5", "1/2")]
)
def test_a_number_may_be_a_decimal_or_a_fraction(typed, number):
    assert parse_number(typed) == Fraction(number)


def test_a_number_outside_its_limits_names_the_limit():
    with pytest.raises(MeasureError, match=r"The least is 0\.1"):
        parse_number("0", least=Fraction(1, 10))
    with pytest.raises(MeasureError, match="The most is 24"):
        parse_number("24.01", most=24)
    with pytest.raises(MeasureError, match="too large"):
        parse_number("9" * 30)


@each(
    ("typed", "share"),
    [("25", "1/4"), ("25 %", "1/4"), ("25%", "1/4"), ("12,5 %", "1/8"), ("0", "0"), ("110", "11/10")],
)
def test_a_percentage_is_read_as_a_share(typed, share):
    assert parse_percent(typed) == Fraction(share)


@each("typed", ["%", "25 % %", "% 25", "25 percent"])
def test_a_percentage_has_one_sign_behind_it_or_none(typed):
    with pytest.raises(MeasureError):
        parse_percent(typed)


def test_the_limits_of_a_percentage_are_in_percent():
    assert parse_percent("100", most=100) == 1
    with pytest.raises(MeasureError, match="The most is 100 %"):
        parse_percent("100.1", most=100)
    with pytest.raises(MeasureError, match="The least is 5 %"):
        parse_percent("4", least=5)


@each(
    ("typed", "exponent", "amount"),
    [
        ("12", 2, "12.00"),
        ("12.5", 2, "12.50"),
        ("12,50", 2, "12.50"),
        ("0.05", 2, "0.05"),
        (",05", 2, "0.05"),
        ("1234.56", 2, "1234.56"),
        ("999999999999.99", 2, "999999999999.99"),
        ("1200", 0, "1200"),
        ("1.234", 3, "1.234"),
    ],
)
def test_an_amount_has_the_decimals_of_its_currency(typed, exponent, amount):
    read = parse_money(typed, exponent=exponent)
    assert read == Decimal(amount)
    assert read.as_tuple().exponent == -exponent


@given(st.integers(0, 10**14))
def test_every_cent_is_read_back(cents):
    amount = Decimal(cents) / 100
    assert parse_money(f"{amount:.2f}") == amount
    assert parse_money(f"{amount:.2f}".replace(".", ",")) == amount


@each(("typed", "exponent"), [("12.345", 2), ("1.5", 0), ("0.00001", 4)])
def test_more_decimals_than_the_currency_has_are_refused_not_rounded(typed, exponent):
    with pytest.raises(MeasureError, match="too many decimals"):
        parse_money(typed, exponent=exponent)


@each("typed", ["€ 12", "12 €", "$12", "12 EUR", "1/2", "12.-", "1'000"])
def test_a_currency_sign_or_a_fraction_is_no_amount_and_the_mend_shows_one(typed):
    with pytest.raises(MeasureError, match=r"like 12\.50"):
        parse_money(typed)
    with pytest.raises(MeasureError, match="like 12:"):
        parse_money(typed, exponent=0)


@each("typed", ["9" * 40, "1000000000000.01"])
def test_an_amount_no_shop_will_see_is_refused_rather_than_rounded(typed):
    with pytest.raises(MeasureError, match="too large"):
        parse_money(typed)
