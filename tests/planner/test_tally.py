"""Board feet as yards charge them, against published worked examples."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import PlannerError
from planner.measures import Length
from planner.tally import EXACT, RULES, SURFACE, WHOLE, WIDTH_UP, BoardSize, TallyRule, tally

inches, feet = Length.of_inches, lambda n: Length.of_inches(12 * Fraction(n))


def one(thickness: str, width: str, length_ft: str, rule: str, **kept) -> Fraction:
    board = BoardSize(inches(thickness), inches(Fraction(width)), feet(length_ft))
    return tally([board], TallyRule(rule, **kept))[0].paid


# americanhardwood.org, "Measurement" (the first); gophuongdong.com, "Hardwood lumber measurement", after the NHLA.
@pytest.mark.parametrize(
    ("thickness", "width", "length", "paid"),
    [("2", "25/4", "8", 8), ("1", "13/2", "8", 4), ("1", "8", "12", 8), ("1", "10", "13", 11)],
)
def test_surface_measure_agrees_with_the_published_examples(thickness, width, length, paid):
    assert one(thickness, width, length, SURFACE) == paid


def test_a_bundle_tally_cuts_the_length_down_to_whole_feet_and_takes_the_nearest_inch():
    # 5-1/4 in by 8-1/2 ft is tallied 5 in by 8 ft (americanhardwood.org, "Measurement").
    assert one("1", "21/4", "17/2", WHOLE) == Fraction(5 * 8, 12)


def test_a_yard_that_rounds_the_width_up_charges_more():
    assert one("1", "21/4", "17/2", WIDTH_UP) == Fraction(6 * 8, 12)


def test_exact_halves_go_up_and_down_in_turn():
    # The turn at exact halves: from memory. 4 1/2 square feet each.
    half = BoardSize(inches(1), inches(Fraction(9, 2)), feet(12))
    assert [line.paid for line in tally([half] * 4, TallyRule(SURFACE))] == [5, 4, 5, 4]
    (together,) = tally([BoardSize(half.thickness, half.width, half.length, 4)], TallyRule(SURFACE))
    assert together.paid == 18


def test_thin_stock_is_charged_as_an_inch_where_the_seller_does_so():
    # "Lumber less than 1 in. thick is presumed to be 1 in. thick for board measure purposes" (tpub.com/engbas/6-3.htm).
    assert one("3/4", "6", "8", EXACT) == 3
    assert one("3/4", "6", "8", EXACT, thin_as_inch=True) == 4
    assert one("5/4", "6", "8", EXACT, thin_as_inch=True) == 5


def test_what_is_there_is_told_beside_what_is_paid():
    (line,) = tally([BoardSize(inches(2), inches(Fraction(25, 4)), feet(8))], TallyRule(SURFACE))
    assert (line.paid, line.there) == (8, Fraction(25, 3))


def test_where_lengths_count_in_whole_feet_a_shorter_board_is_refused_by_its_line():
    boards = [BoardSize(inches(1), inches(6), feet(8)), BoardSize(inches(1), inches(6), inches(11))]
    with pytest.raises(PlannerError, match="line 2"):
        tally(boards, TallyRule(SURFACE))
    assert tally(boards, TallyRule(EXACT))


sides = st.integers(10**7, 5 * 10**9).map(Length.from_nm)


@given(st.lists(st.builds(BoardSize, sides, sides, sides.filter(lambda side: side >= feet(1)), st.integers(1, 5))))
def test_no_rule_is_further_off_than_its_rounding_can_be(boards):
    there = [line.there for line in tally(boards, TallyRule(EXACT))]
    for rule in RULES:
        for board, line, exact in zip(boards, tally(boards, TallyRule(rule)), there, strict=True):
            width, length = board.width.inches, board.length.inches / 12
            off = {EXACT: 0, SURFACE: Fraction(1, 2) + width / 12, WHOLE: (length / 2 + width) / 12}
            most = off.get(rule, (length + width) / 12) * board.thickness.inches * board.count
            assert abs(line.paid - exact) <= most and line.there == exact
