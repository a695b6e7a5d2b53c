"""A job's cut plan that was started; after every test the two ledgers agree."""

from __future__ import annotations

import pytest

from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import laid_out
from tests.support.sawing import begun_job


@pytest.fixture
def begun(owner):
    return begun_job(owner)


@pytest.fixture
def begun_marks(begun):
    return [board.mark for board in laid_out(begun[1].form).boards]


@pytest.fixture(autouse=True)
def the_books_agree(db):
    yield
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert cuts_and_rack_that_disagree() == []
