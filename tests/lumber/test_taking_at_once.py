"""Eight who reach for the same hundred boards at once get exactly a hundred between them, and nobody sees an error."""

from __future__ import annotations

from decimal import Decimal

import pytest

from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.at_once import at_once
from tests.support.rack import boards

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]
TAKER = """
import random, sys
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.ledger import StockMoved
who = int(sys.argv[1])
demand = promises.want_wood(label=f"Taker {who}", key=f"test:{who}")
marks = list(StockPiece.objects.values_list("mark", flat=True))
random.Random(who).shuffle(marks)
got = 0
for mark in marks:
    piece = StockPiece.objects.get(mark=mark)
    try:
        promises.take(who=None, demand=demand, pieces=[piece])
        got += 1
    except StockMoved:
        pass
print(got)
"""


def test_a_hundred_boards_are_taken_once_each_whoever_asks_at_once(owner):
    boards(owner, 100, price=Decimal("3.33"), per="piece")
    assert sum(map(int, at_once(TAKER, how_many=8))) == 100
    assert StockPiece.objects.filter(state="taken").count() == 100
    assert StockEntry.objects.filter(kind="taken").count() == 100
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
