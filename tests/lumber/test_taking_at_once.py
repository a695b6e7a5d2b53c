"""Eight who reach for the same hundred boards at once get exactly a hundred between them, and nobody sees an error."""

from __future__ import annotations

import os
import subprocess
import sys
from decimal import Decimal

import pytest
from django.conf import settings
from django.db import connection

from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
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
    takers = [start(number) for number in range(8)]
    answers = [taker.communicate(timeout=240) for taker in takers]
    assert [taker.returncode for taker in takers] == [0] * 8, answers
    assert sum(int(out.split()[-1]) for out, _ in answers) == 100
    assert StockPiece.objects.filter(state="taken").count() == 100
    assert StockEntry.objects.filter(kind="taken").count() == 100
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def start(number: int) -> subprocess.Popen:
    """A process of its own on the tests' own database."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "tests.support.worker_settings",
        "KERFSTEAD_TEST_DATABASE": str(connection.settings_dict["NAME"]),
        "KERFSTEAD_TEST_PATIENCE": "10",
    }
    return subprocess.Popen(
        [sys.executable, "-c", f"import django; django.setup()\n{TAKER}", str(number)],
        env=environment,
        cwd=settings.BASE_DIR,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
