"""Of several who buy a piece in the same moment one gets it, and what a device sends again is written once."""

from __future__ import annotations

import pytest

from shopapp.listings.models import Listing, Piece, PieceEvent, Sale
from tests.support import pieces, work
from tests.support.at_once import at_once

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]
HOW_MANY = 4

SELL = """
import sys
from decimal import Decimal
from django.utils import timezone
from shopapp.listings.models import Piece
from shopapp.listings.selling.actions import AlreadySold, give, sell
mine = {"who": None, "piece": Piece.objects.get(), "on": timezone.localdate(), "to_whom": f"Buyer {sys.argv[1]}"}
try:
    if sys.argv[1] == "3":
        give(**mine)
    else:
        sell(**mine, price=Decimal(200 + int(sys.argv[1])), how="cash")
    print("got it")
except AlreadySold as told:
    print(told)
"""


def test_of_several_who_buy_a_piece_or_are_given_it_in_the_same_second_one_gets_it(owner):
    work.listing(owner, pieces.piece(owner).job)
    answers = sorted(at_once(SELL, how_many=HOW_MANY))
    assert answers.count("got it") == 1
    one, listing = Piece.objects.get(), Listing.objects.get()
    assert all(one.title in told for told in answers if told != "got it")
    gone = PieceEvent.objects.filter(where__in=("sold", "given"))
    assert gone.count() == 1 and one.where == gone.get().where and listing.state == one.where
    assert Sale.objects.count() == (0 if one.where == "given" else 1) and pieces.told_wrongly() == []


SENT_AGAIN = """
from decimal import Decimal
from django.utils import timezone
from shopapp.listings.models import Piece
from shopapp.listings.selling.actions import sell
sale = sell(who=None, piece=Piece.objects.get(), on=timezone.localdate(), price=Decimal(90), how="cash",
            key="stall-1-7", late_ok=True)
print(sale.pk)
"""


def test_what_one_device_sends_several_times_at_once_is_one_sale(owner):
    pieces.piece(owner)
    answers = at_once(SENT_AGAIN, how_many=HOW_MANY)
    assert len(set(answers)) == 1 and Sale.objects.count() == 1 and pieces.told_wrongly() == []


LATE = SENT_AGAIN.replace('"stall-1-7"', 'f"stall-{sys.argv[1]}"').replace(
    "from decimal", "import sys\nfrom decimal", 1
)


def test_of_several_stalls_without_network_all_sales_are_written_and_one_stands(owner):
    pieces.piece(owner)
    at_once(LATE, how_many=HOW_MANY)
    assert Sale.objects.count() == HOW_MANY and Piece.objects.get().sale in Sale.objects.all()
    assert pieces.told_wrongly() == []
