"""Four who count the same thirty boards at once: each is counted, nobody sees an error, the book is closed once."""

from __future__ import annotations

import os
import subprocess
import sys
from decimal import Decimal

import pytest
from django.conf import settings
from django.db import connection

from shopapp.lumber.counting.actions import begin_stocktake
from shopapp.lumber.counting.checks import worth_of_what_was_not_found
from shopapp.lumber.counting.closing import close_stocktake, closing_of
from shopapp.lumber.models import StockPiece, StocktakeCount
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
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
    counters = [start(number) for number in range(4)]
    answers = [counter.communicate(timeout=240) for counter in counters]
    assert [counter.returncode for counter in counters] == [0] * 4, answers
    # They agree, so nobody was in another's way.
    assert [int(out.split()[-1]) for out, _ in answers] == [30] * 4
    assert StocktakeCount.objects.count() == 30 and set(StocktakeCount.objects.values_list("edit_version")) == {(1,)}
    close_stocktake(who=owner, stocktake=stocktake, seen=closing_of(stocktake, "mm").seen)
    missing = StocktakeCount.objects.filter(found=False).count()
    assert StockPiece.objects.filter(state="missing").count() == missing == 10
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert worth_of_what_was_not_found() == []


def start(number: int) -> subprocess.Popen:
    """A process of its own on the tests' own database."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "tests.support.worker_settings",
        "KERFSTEAD_TEST_DATABASE": str(connection.settings_dict["NAME"]),
        "KERFSTEAD_TEST_PATIENCE": "10",
    }
    return subprocess.Popen(
        [sys.executable, "-c", f"import django; django.setup()\n{COUNTER}", str(number)],
        env=environment,
        cwd=settings.BASE_DIR,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
