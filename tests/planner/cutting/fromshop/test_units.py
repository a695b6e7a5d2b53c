"""The working unit holds what adds up exactly, or rounds every length to the safe side."""

from __future__ import annotations

from fractions import Fraction
from math import gcd

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.cutting.fromshop import length_of, says_in, unit_for, unit_of, unit_text, units_down, units_up
from planner.cutting.fromshop.units import common
from planner.cutting.plan import CutPlanError
from planner.measures import Length
from planner.shop import Shop

mm, inch = Length.of_mm, Length.of_inches
sizes = st.one_of(
    st.integers(1, 400_000).map(lambda n: mm(Fraction(n, 100))),
    st.integers(1, 10_000).map(lambda n: inch(Fraction(n, 64))),
)


@given(st.lists(sizes, min_size=1, max_size=8))
def test_the_common_unit_holds_every_length_and_no_larger_one_does(lengths):
    counts = [length / common(lengths) for length in lengths]
    assert all(count.denominator == 1 for count in counts)
    assert gcd(*(count.numerator for count in counts)) == 1


def _exact(lengths, unit) -> bool:
    return all((length / unit).denominator == 1 for length in lengths)


@given(*[st.lists(sizes, min_size=1, max_size=4)] * 3)
def test_the_unit_holds_all_exactly_or_as_much_as_a_hundredth_of_a_millimetre_allows(steps, along, across):
    unit = unit_for(steps, along, across)
    if common([*steps, *along, *across]) >= mm("0.01"):
        assert unit == common([*steps, *along, *across])
    elif common([*steps, *along]) >= mm("0.01"):
        assert _exact([*steps, *along], unit) and unit >= mm("0.01")
    elif common(steps) >= mm("0.01"):
        assert _exact(steps, unit) and mm("0.005") < unit <= mm("0.01")
    else:
        assert unit == mm("0.01")


@given(sizes, sizes)
def test_up_and_down_are_the_nearest_whole_units_on_the_safe_side(length, unit):
    low, high = units_down(length, unit), units_up(length, unit)
    assert length_of(low, unit) <= length <= length_of(high, unit)
    assert high - low <= 1 and (high == low) == (length == length_of(low, unit))


@given(sizes)
def test_a_unit_is_written_exactly_and_read_back(unit):
    assert unit_of(unit_text(unit)) == unit


def test_units_of_shops_by_hand():
    # 19.9 = 199 tenths, 3 = 30, 0.5 = 5, and 5 = 50: tenths hold them all.
    assert unit_text(unit_for([mm(3), mm(5)], [mm("19.9")], [mm("0.5")])) == "1/10 mm"
    # 3/4 = 48/64, 1/8 = 8/64, 1/4 = 16/64 and 57/64: sixty-fourths.
    assert unit_text(unit_for([inch("1/8"), inch("1/4")], [inch("3/4")], [inch("57/64")])) == "1/64 in"
    # With glue of 4/1000 in thousandths hold kerf, step and lengths; a width in 128ths is rounded up to them.
    assert unit_text(unit_for([inch("1/8"), inch("1/4")], [inch("746/1000")], [inch("97/128")])) == "1/1000 in"
    # 1/64 in is 0.396875 mm; with tenths of a millimetre nothing coarser than 3.125 thousandths is exact, and forty
    # parts of it are each a little less than a hundredth.
    assert unit_text(unit_for([inch("1/64")], [mm("0.1")], [])) == "1/2560 in"
    # Where not even kerf and step have a part of a hundredth in common, it is the hundredth.
    assert unit_text(unit_for([inch("1/64"), mm("0.1")], [mm(20)], [])) == "1/100 mm"


def test_what_is_nought_does_not_spoil_the_unit():
    assert common([mm(0), mm(20)]) == mm(20) and common([mm(0)]) == mm(1)


@pytest.mark.parametrize("text", ["", "mm", "0 mm", "1/0 in", "0/4 mm", "-1 mm", "1,5 mm", "1 cm", "1/2 in or so"])
def test_what_is_no_unit_is_refused_in_words(text):
    with pytest.raises(CutPlanError, match="no unit of length") as refused:
        unit_of(text)
    assert refused.value.field == "unit" and "1/64 in" in refused.value.mend


def test_units_are_spoken_as_the_shop_writes_lengths():
    assert says_in(mm("0.05"), Shop())(398) == "19.9 mm"
    assert says_in(inch("1/64"), Shop(unit="in"))(80) == "1 1/4 in"
