"""What people type at a bench is read as the exact length they mean."""

import unicodedata
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from planner.measures import Length, format_length, length_as_typed, parse_length
from tests.support.each import each
from tests.support.units import quantity


@each(
    ("typed", "inches"),
    [
        ('3/8"', "3/8"),
        ("1 1/4 in", "5/4"),
        ('1-1/4"', "5/4"),
        ('1–1/4"', "5/4"),
        ('0.375"', "3/8"),
        ('.375"', "3/8"),
        ('0,375"', "3/8"),
        ('½"', "1/2"),
        ('1½"', "3/2"),
        ('1 ½"', "3/2"),
        ('1-½"', "3/2"),
        ("1–½″", "3/2"),
        ("⅞ in", "7/8"),
        ('3⁄4"', "3/4"),
        ('3 / 4 "', "3/4"),
        ("2' 3-1/2\"", "55/2"),
        ("2′ 3 1/2″", "55/2"),
        ("2’ 3-1/2”", "55/2"),
        ("2 ft 3 in", "27"),
        ("2 ft. 3 in.", "27"),
        ("2' 6", "30"),
        ("2'6", "30"),
        ("2' - 6\"", "30"),
        ("2 feet 6 inches", "30"),
        ("1 foot 1 inch", "13"),
        ("2'", "24"),
        ("1.5 ft", "18"),
        ("1''", "1"),
        ("3/4 IN", "3/4"),
        ("5/4 in", "5/4"),
        ("0' 1/2\"", "1/2"),
    ],
)
@each("unit", ["mm", "in"])
def test_a_length_with_inch_or_feet_marks_is_read_the_same_in_either_shop(typed, inches, unit):
    assert parse_length(typed, unit) == Length.of_inches(inches)


@each(
    ("typed", "mm"),
    [
        ("19 mm", "19"),
        ("19mm", "19"),
        ("19 MM", "19"),
        ("  19   mm ", "19"),
        ("19\u00a0mm", "19"),
        ("19,5 mm", "19.5"),
        ("19.5 mm", "19.5"),
        ("1.9 cm", "19"),
        ("1,9cm", "19"),
        ("1.2 m", "1200"),
        ("0,019 m", "19"),
        ("19.125 mm", "19.125"),
        ("1234,5 mm", "1234.5"),
        ("1200 mm", "1200"),
        ("12 1/2 mm", "12.5"),
        ("½ mm", "0.5"),
        ("19 millimetres", "19"),
        ("19 millimeters", "19"),
    ],
)
@each("unit", ["mm", "in"])
def test_a_length_with_metric_marks_is_read_the_same_in_either_shop(typed, mm, unit):
    assert parse_length(typed, unit) == Length.of_mm(mm)


@each(
    ("typed", "number"),
    [("3/8", "3/8"), ("19", "19"), ("1 1/4", "5/4"), ("1-1/4", "5/4"), ("19,5", "39/2"), ("½", "1/2")],
)
def test_a_bare_number_is_in_the_shops_own_unit(typed, number):
    assert parse_length(typed, "mm") == Length.of_mm(number)
    assert parse_length(typed, "in") == Length.of_inches(number)
    assert parse_length(typed) == Length.of_mm(number)


def test_zero_is_read_only_where_a_length_may_be_left_out():
    for typed in ("0", "0 mm", '0"', "0,0", "0/8", "0' 0\""):
        assert parse_length(typed, allow_zero=True) == Length.ZERO


@each("mark", "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞")
def test_every_vulgar_fraction_on_a_keyboard_is_read_as_the_fraction_it_names(mark):
    name = unicodedata.normalize("NFKC", mark).replace("⁄", "/")
    assert parse_length(f"2{mark}", "in").inches == 2 + Fraction(name)


@given(st.integers(1, 64 * 400))
def test_every_64th_of_an_inch_printed_is_read_back(sixty_fourths):
    length = Length.of_inches(Fraction(sixty_fourths, 64))
    for with_unit in (True, False):
        assert parse_length(format_length(length, "in", with_unit=with_unit), "in") == length
    assert parse_length(format_length(length, "in"), "mm") == length


@given(st.integers(1, 10**9))
def test_every_thousandth_of_a_millimetre_printed_is_read_back(microns):
    length = Length.of_mm(Fraction(microns, 1000))
    for with_unit in (True, False):
        assert parse_length(format_length(length, "mm", with_unit=with_unit), "mm") == length
    assert parse_length(format_length(length, "mm"), "in") == length


@given(st.integers(0, 10**12), st.sampled_from(["mm", "in"]))
def test_a_kept_length_put_into_a_form_and_sent_back_is_the_same_length(nm, unit):
    length = Length.from_nm(nm)
    assert parse_length(length_as_typed(length, unit), unit, allow_zero=True) == length


@given(st.integers(0, 64 * 400), st.sampled_from(["mm", "in"]))
def test_an_inch_fraction_put_into_a_form_of_either_unit_comes_back_exactly(sixty_fourths, unit):
    length = Length.of_inches(Fraction(sixty_fourths, 64))
    assert parse_length(length_as_typed(length, unit), unit, allow_zero=True) == length


@given(st.fractions(min_value=Fraction(1, 1000), max_value=5000, max_denominator=10**5), st.sampled_from(["mm", "in"]))
def test_even_a_length_no_decimal_can_write_comes_back_from_a_form(mm, unit):
    assert parse_length(length_as_typed(Length.of_mm(mm), unit), unit) == Length.of_mm(mm)


@given(st.integers(0, 30), st.integers(0, 11), st.integers(0, 15))
def test_feet_inches_and_a_fraction_add_up(feet, inches, sixteenths):
    typed = f"{feet}' {inches}-{sixteenths}/16\""
    read = parse_length(typed, allow_zero=True)
    assert read.inches == 12 * feet + inches + Fraction(sixteenths, 16)


@given(
    st.decimals(min_value="0.001", max_value=500, places=3),
    st.sampled_from(["mm", "cm", "m", "in", "inches", "ft", "feet", "millimetre", "metres"]),
)
def test_every_unit_is_read_as_a_general_library_of_units_has_it(number, unit):
    named = {"ft": "foot", "in": "inch"}.get(unit, unit)
    assert parse_length(f"{number} {unit}").mm == quantity(Fraction(number), named).to("millimeter").magnitude
