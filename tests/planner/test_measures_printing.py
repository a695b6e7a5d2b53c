"""Lengths are printed as a shop writes them, and everything is rounded by one rule."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from planner.measures import Length, format_length, length_as_typed, round_half_up
from tests.support.each import each


@each(
    ("mm", "printed"),
    [
        ("19", "19 mm"),
        ("19.0", "19 mm"),
        ("100", "100 mm"),
        ("19.50", "19.5 mm"),
        ("9.525", "9.525 mm"),
        ("0", "0 mm"),
        ("1200", "1200 mm"),
        ("0.0005", "0.001 mm"),
        ("0.0004", "0 mm"),
        ("-0.0004", "0 mm"),
        ("-1.5", "-1.5 mm"),
        ("8.4666", "8.467 mm"),
    ],
)
def test_millimetres_are_printed_plainly_to_at_most_three_decimals(mm, printed):
    assert format_length(Length.of_mm(mm), "mm") == printed


@each(
    ("inches", "printed"),
    [
        ("5/4", "1 1/4 in"),
        ("3/8", "3/8 in"),
        ("57", "57 in"),
        ("0", "0 in"),
        ("1/64", "1/64 in"),
        ("127/64", "1 63/64 in"),
        ("6/8", "3/4 in"),
        ("-5/4", "-1 1/4 in"),
        ("1/10", "0.1 in"),
        ("1/128", "0.008 in"),
        ("1/3", "0.333 in"),
    ],
)
def test_inches_are_printed_as_a_fraction_down_to_64ths_else_to_three_decimals(inches, printed):
    assert format_length(Length.of_inches(inches), "in") == printed


def test_a_column_that_carries_the_unit_in_its_head_leaves_it_out_of_the_cells():
    assert format_length(Length.of_mm(19), "mm", with_unit=False) == "19"
    assert format_length(Length.of_inches("5/4"), "in", with_unit=False) == "1 1/4"


def test_a_length_shows_itself_in_millimetres():
    assert repr(Length.of_inches("3/8")) == "Length('9.525 mm')"


@each(
    ("length", "unit", "written"),
    [
        (Length.of_mm(19), "mm", "19"),
        (Length.of_mm(19), "in", "19 mm"),
        (Length.of_inches("1/64"), "mm", "0.396875"),
        (Length.of_inches("5/4"), "in", "1 1/4"),
        (Length.of_inches("1/10"), "in", "0.1"),
        (Length.of_inches("1/3"), "mm", "127/15"),
    ],
)
def test_a_form_is_filled_with_what_reads_back_exactly_not_with_a_rounded_number(length, unit, written):
    assert length_as_typed(length, unit) == written


@given(st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6), st.integers(0, 6))
def test_rounding_goes_to_the_nearest_and_a_half_away_from_nought(value, places):
    rounded = round_half_up(value, places)
    unit = Fraction(1, 10**places)
    assert abs(Fraction(rounded) - value) <= unit / 2
    if abs(Fraction(rounded) - value) == unit / 2:
        assert abs(Fraction(rounded)) > abs(value)
    assert rounded.as_tuple().exponent == -places


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12, places=5))
def test_rounding_agrees_with_pythons_own_decimal_half_up(value):
    assert round_half_up(value, 2) == value.quantize(Decimal("0.01"), ROUND_HALF_UP)


def test_rounding_keeps_every_digit_of_a_very_large_number():
    # Arithmetic on a Decimal would keep 28 digits only.
    assert round_half_up(Fraction(10**40 + 1), 2) == Decimal(f"{10**40 + 1}.00")
    assert str(round_half_up(Fraction(10**40 + 1), 0)) == str(10**40 + 1)


def test_rounding_to_tens_and_of_nothing():
    assert round_half_up(Fraction(1250), -2) == 1300
    assert str(round_half_up(Fraction(-1, 1000), 2)) == "0.00"
