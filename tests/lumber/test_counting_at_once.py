"""Four who count the same thirty boards at once: each is counted, nobody sees an error, the book is closed once."""

from __future__ import annotations

from decimal import Decimal

import pytest

from shopapp.lumber.counting.actions import begin_stocktake
from shopapp.lumber.counting.checks import worth_of_what_was_not_found
from shopapp.lumber.counting.closing import close_stocktake, closing_of
from shopapp.lumber.models import StockPiece, StocktakeCount
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.at_once import at_once
from tests.support.rack import boards

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]
COUNTER = """
import random, sys
from shopapp.common.actions import EditConflict
from shopapp.lumber.counting.actions import Found, count_piece
from shopapp.lumber.models import StockPiece, Stocktake
stocktake, told = Stocktake.objects.get(), 0
pieces = list(StockPiece.objects.order_by("pk"))
random.Random(int(sys.argv[1])).shuffle(pieces)
for piece in pieces:
    try:
        # Every third is not there, whoever looks.
        count_piece(who=None, stocktake=stocktake, piece=piece, counted=Found(found=piece.pk % 3 != 0), seen_version=0)
        told += 1
    except EditConflict:
        pass
print(told)
"""


def test_thirty_boards_are_counted_once_each_whoever_counts_at_once(owner):
    boards(owner, 30, price=Decimal("3.33"), per="piece")
    stocktake = begin_stocktake(who=owner)
    # They agree, so nobody was in another's way.
    assert at_once(COUNTER) == ["30"] * 4
    assert StocktakeCount.objects.count() == 30 and set(StocktakeCount.objects.values_list("edit_version")) == {(1,)}
    close_stocktake(who=owner, stocktake=stocktake, seen=closing_of(stocktake, "mm").seen)
    missing = StocktakeCount.objects.filter(found=False).count()
    assert StockPiece.objects.filter(state="missing").count() == missing == 10
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert worth_of_what_was_not_found() == []
