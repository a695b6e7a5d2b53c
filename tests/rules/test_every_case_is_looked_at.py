"""A test that goes through its cases by itself fails where any of them does, and says which."""

from __future__ import annotations

import pytest

from tests.support.each import each


def test_those_that_fail_are_named_and_the_others_looked_at_all_the_same():
    seen = []

    @each(("number", "most"), [(1, 2), (5, 2), pytest.param(7, 2, id="seven"), (2, 2)])
    def small(number, most):
        seen.append(number)
        assert number <= most

    with pytest.raises(AssertionError, match=r"^2 of 4 cases fail\n\(5, 2\): .*(\n.*)*values=\(7, 2\)"):
        small()
    assert seen == [1, 5, 7, 2]


def test_a_refusal_that_is_missed_fails_too():
    @each("typed", ["1"])
    def refused(typed):
        with pytest.raises(ValueError):
            int(typed)

    with pytest.raises(AssertionError, match="1 of 1 cases fail"):
        refused()


def test_every_pair_of_two_lists_is_looked_at():
    seen = []

    @each("one", [1, 2], ids="ab")
    @each("other", [3, 4])
    def pairs(one, other):
        seen.append((one, other))

    pairs()
    assert seen == [(1, 3), (1, 4), (2, 3), (2, 4)]


def test_without_a_case_it_fails():
    with pytest.raises(AssertionError, match="no case"):
        each("x", [])(lambda x: None)()
