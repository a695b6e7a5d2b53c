"""Lengths add, multiply, divide and compare exactly, and never change."""

import copy
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.measures import ZERO, Length, MeasureError

fractions = st.fractions(min_value=-5000, max_value=5000, max_denominator=10**6)
lengths = fractions.map(Length.of_mm)


def test_an_inch_is_25_4_mm_exactly():
    # International yard and pound agreement, 1959.
    assert Length.of_inches(1).mm == Fraction(254, 10)
    assert Length.of_inches(1) == Length.of_mm("25.4")


def test_152_tiles_of_three_eighths_make_57_inches_without_a_remainder():
    assert Length.of_inches("3/8") * 152 == Length.of_inches(57)
    assert sum([Length.of_inches("3/8")] * 152) == Length.of_inches(57)


@given(lengths, lengths, st.integers(-1000, 1000))
def test_sums_and_products_agree_with_plain_fractions_of_a_millimetre(a, b, n):
    assert (a + b).mm == a.mm + b.mm
    assert (a - b).mm == a.mm - b.mm
    assert (a * n).mm == (n * a).mm == a.mm * n
    assert (-a).mm == -a.mm
    assert bool(a) == bool(a.mm)


@given(lengths, lengths)
def test_lengths_are_ordered_like_their_millimetres_and_equal_ones_share_a_hash(a, b):
    assert (a < b, a <= b, a > b, a >= b, a == b) == (
        a.mm < b.mm,
        a.mm <= b.mm,
        a.mm > b.mm,
        a.mm >= b.mm,
        a.mm == b.mm,
    )
    twin = Length.of_mm(Fraction(a.mm.numerator * 3, a.mm.denominator * 3))
    assert twin == a and hash(twin) == hash(a)


@given(lengths, lengths.filter(bool), st.integers(1, 1000))
def test_a_length_over_a_length_is_a_ratio_and_over_a_number_a_length(a, b, n):
    assert (a / b) * b.mm == a.mm and isinstance(a / b, Fraction)
    assert (a / n) * n == a and isinstance(a / n, Length)


def test_a_sum_of_no_lengths_and_of_lengths_stays_exact():
    assert sum([], ZERO) == ZERO == Length.ZERO
    assert sum([Length.of_mm(1), Length.of_mm("0.5")]) == Length.of_mm("1.5")


@pytest.mark.parametrize("spoil", [lambda a: a + 1, lambda a: a - 1, lambda a: 1 + a, lambda a: a < 1, lambda a: a * a])
def test_a_length_is_never_mixed_with_a_bare_number_nor_multiplied_into_an_area(spoil):
    with pytest.raises(TypeError):
        spoil(Length.of_mm(3))


@pytest.mark.parametrize("make", [Length.of_mm, Length.of_inches])
def test_a_float_is_refused_because_it_is_never_quite_the_length_meant(make):
    with pytest.raises(TypeError, match="never a float"):
        make(0.1)
    with pytest.raises(TypeError):
        Length.of_mm(3) * 0.5


def test_a_length_is_not_equal_to_a_number():
    assert Length.of_mm(3) != 3
    assert Length.of_mm(3) != Fraction(3)


def test_a_length_never_changes():
    length = Length.of_mm(3)
    with pytest.raises(AttributeError):
        length.mm = Fraction(4)
    with pytest.raises(AttributeError):
        del length.mm
    with pytest.raises(AttributeError):
        length.colour = "red"
    assert length == Length.of_mm(3)


def test_a_length_survives_copying_and_being_sent_to_another_process():
    length = Length.of_inches("5/7")
    assert copy.deepcopy(length) == copy.copy(length) == pickle.loads(pickle.dumps(length)) == length


@given(st.integers(-(2**63), 2**63 - 1))
def test_whole_nanometres_come_back_from_the_database_as_the_same_length(nm):
    assert Length.from_nm(nm).nm == nm


@given(st.integers(0, 64 * 1000))
def test_every_64th_of_an_inch_is_a_whole_number_of_nanometres(sixty_fourths):
    length = Length.of_inches(Fraction(sixty_fourths, 64))
    assert Length.from_nm(length.nm) == length


@given(st.fractions(min_value=-5000, max_value=5000, max_denominator=10**9))
def test_what_is_finer_than_a_nanometre_is_refused_naming_the_nearest_that_can_be_kept(mm):
    length = Length.of_mm(mm)
    scaled = mm * 10**6
    if scaled.denominator == 1:
        assert length.nm == scaled
        return
    with pytest.raises(MeasureError) as refused:
        length.nm  # noqa: B018
    named = Fraction(refused.value.mend.removeprefix("The nearest that can is ").removesuffix(" mm."))
    assert (named * 10**6).denominator == 1
    assert abs(named - mm) <= Fraction(1, 2 * 10**6)


def test_a_third_of_an_inch_cannot_be_kept_and_says_so():
    with pytest.raises(MeasureError, match=r"nearest that can is 8\.466667 mm"):
        Length.of_inches("1/3").nm  # noqa: B018
