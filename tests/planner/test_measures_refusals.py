"""What cannot be a length is refused in words that say what is wrong and how to mend it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.measures import Length, MeasureError, parse_length
from tests.support.each import each

UNITS = each("unit", ["mm", "in"])


def refusal(typed, unit="mm", **options):
    with pytest.raises(MeasureError) as refused:
        parse_length(typed, unit, **options)
    assert refused.value.what
    assert refused.value.mend
    return refused.value


@UNITS
@each(
    "typed",
    [
        *(
            "abc",
            "nan",
            "NaN",
            "inf",
            "-inf",
            "infinity",
            "1e309",
            "1e3",
            "0x10",
            "1_000",
            "+5",
            "1+1",
            "--5",
            "..",
            ",",
        ),
        *("1/2/3", "/2", "3/", "1 2", "1 234", "1 - 1/4", "1.5 1/2", "1/2.5", "3,5/8", "½½", "½2", "1/½", "5.", "5,"),
        *(
            '"',
            "'",
            "in",
            "mm",
            "m",
            "ft",
            "min",
            '5""',
            "5'''",
            "5 km",
            "5 yd",
            "19 µm",
            "$5",
            "5 mm;",
            "5\x00",
            "5 mm\n6",
        ),
        *("٣", "１９", "𝟗", "5²", "Ⅻ", "三", "½\u200b", "五mm", "<b>5</b>", "{{ 5 }}", "'; drop table", "%d", "\ud800"),
    ],
)
def test_what_is_no_number_is_refused(typed, unit):
    assert "Write" in refusal(typed, unit).mend


@UNITS
@each("typed", ["", " ", "\t\n", "\u00a0", None])
def test_nothing_typed_is_said_to_be_nothing(typed, unit):
    assert "Nothing is written" in refusal(typed, unit).what


@UNITS
@each("typed", ["-5", "- 5", "−5 mm", '-1/2"', '-½"', "-.5", "–3 mm", "-0"])
def test_a_negative_length_is_said_to_be_less_than_nought(typed, unit):
    assert "less than nought" in refusal(typed, unit, allow_zero=True).what


@UNITS
@each("typed", ["0", "0 mm", '0"', "0,0", "0.000", "0/8", "0' 0\""])
def test_zero_is_refused_where_a_length_must_be_something(typed, unit):
    assert "more than nought" in refusal(typed, unit).mend


@UNITS
@each("typed", ["3/0", '1 3/0"', "0/0", '1-1/0"', "3/00"])
def test_a_fraction_over_nought_is_refused(typed, unit):
    assert "nought" in refusal(typed, unit).what


@UNITS
@each(
    "typed", ["1,234", "12,345 mm", "123,456", "1,234.5", "1.234,5", "1.234.567", "1,234,567", "1,234,567.8", '1,234"']
)
def test_a_mark_that_could_be_thousands_is_refused_rather_than_guessed(typed, unit):
    error = refusal(typed, unit)
    assert "two ways" in error.what
    assert "full stop" in error.mend


def test_a_full_stop_is_always_decimals_and_so_is_a_comma_after_a_lone_nought():
    assert parse_length("1.234") == Length.of_mm("1.234")
    assert parse_length("0,234") == Length.of_mm("0.234")
    assert parse_length("1,23") == Length.of_mm("1.23")
    assert parse_length("1,2345") == Length.of_mm("1.2345")


@UNITS
@each("typed", ["19 mm in", "3 ft 2 mm", "1 m 20 cm", "2 ft 2 ft", '3/4" mm', "5 in 3 ft", "19mmcm"])
def test_two_units_are_refused(typed, unit):
    assert "two units" in refusal(typed, unit).what


@each("typed", ["2' 12\"", "1'234", "1' 12.0", "3 ft 36 in"])
def test_a_foot_or_more_of_inches_after_feet_is_asked_about(typed):
    assert "fewer than 12 inches" in refusal(typed).mend


@each("typed", ["1 5/4 in", '2-8/8"'])
def test_a_whole_beside_more_than_a_whole_is_refused(typed):
    assert "more than a whole" in refusal(typed).what


@UNITS
def test_a_very_long_text_is_refused_without_being_repeated(unit):
    error = refusal("9" * 10**6, unit)
    assert "too long" in error.what
    assert len(str(error)) < 200


@each("typed", ["1001 m", "1000001 mm", "9" * 40, "40000 in", "9" * 30 + " ft"])
def test_more_than_a_kilometre_is_refused_so_that_every_length_read_can_be_kept(typed):
    assert "longer than a kilometre" in refusal(typed).what
    assert parse_length("1000 m").nm < 2**63


@UNITS
def test_a_refusal_repeats_what_was_typed_as_it_was_typed(unit):
    assert "“1½½”" in refusal("  1½½ ", unit).what


@given(st.text(max_size=60), st.sampled_from(["mm", "in"]), st.booleans())
def test_any_text_at_all_is_either_a_length_or_refused_in_words(typed, unit, allow_zero):
    try:
        length = parse_length(typed, unit, allow_zero=allow_zero)
    except MeasureError as error:
        assert error.what and error.mend
    else:
        assert length.mm > 0 or (allow_zero and length.mm == 0)


@given(st.text(alphabet="0123456789.,/-'\" inftmc½", max_size=14), st.sampled_from(["mm", "in"]))
def test_any_jumble_of_a_lengths_own_marks_is_either_a_length_or_refused_in_words(typed, unit):
    try:
        assert parse_length(typed, unit).mm > 0
    except MeasureError as error:
        assert error.what and error.mend


@each("typed", ["", "x", "-1", "0", "1,234", "3/0", "9" * 50])
def test_no_refusal_scolds_or_apologises(typed):
    words = str(refusal(typed)).lower()
    assert not any(word in words for word in ("invalid", "please", "oops", "sorry", "error"))
