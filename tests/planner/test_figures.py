"""A shown number carries how it was reached, and comes back from its record exactly."""

import json
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.figures import Figure, Term
from planner.measures import Length

values = st.one_of(
    st.integers(),
    st.fractions(),
    st.decimals(allow_nan=False, allow_infinity=False),
    st.fractions().map(Length.of_mm),
)
leaves = st.builds(Figure, values, st.sampled_from(["mm", "bf", "h", "money"]), st.text(), st.text())
figures = st.recursive(
    leaves,
    lambda below: st.builds(
        Figure,
        values,
        st.just("bf"),
        st.text(),
        st.text(),
        st.lists(st.builds(Term, st.text(), below), max_size=3).map(tuple),
    ),
    max_leaves=6,
)


@given(figures)
def test_a_figure_and_every_term_beneath_it_come_back_from_json_exactly(figure):
    back = Figure.from_record(json.loads(json.dumps(figure.as_record())))
    assert back == figure
    assert type(back.value) is type(figure.value)


def test_money_keeps_its_trailing_noughts_and_a_third_stays_a_third():
    for value in (Decimal("12.50"), Fraction(1, 3), Length.of_inches("1/3"), 7):
        back = Figure.from_record(Figure(value, "money", "typed").as_record())
        assert str(back.value) == str(value)
        assert back.value == value


def test_a_sum_can_be_opened_down_to_what_was_typed():
    pitch = Figure(Length.of_inches("3/8"), "mm", "the pitch", "this board's sizes")
    field = Figure(Length.of_inches(6), "mm", "pitch x 16 tiles", terms=(Term("pitch", pitch),))
    board = Figure(
        field.value + Length.of_inches(2),
        "mm",
        "field and two borders",
        terms=(Term("field", field), Term("pitch", pitch)),
    )
    assert board.terms[0].figure.terms[0].figure.source == "this board's sizes"
    assert board.value == Length.of_inches(8)


def test_a_figure_never_carries_a_float():
    with pytest.raises(TypeError, match="float"):
        Figure(0.1, "h", "a guess").as_record()


def test_a_figure_never_changes():
    with pytest.raises(AttributeError):
        Figure(1, "pieces", "counted").value = 2
