"""What a phone at a fair sends: a sale, or that the last one was none; each once, in the order it was done.

A phone may have been without network for days, and somebody at home may have sold the same piece meanwhile: the sale is
written all the same, for it happened, and the page says what to do.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import MeasureError, parse_money
from shopapp.common.away import moment_of
from shopapp.common.fields import MOST_MONEY
from shopapp.common.numbers import whole_number
from shopapp.common.templatetags.shop import money
from shopapp.listings.models import Channel, Fair, Piece, Sale, SaleChange
from shopapp.listings.pieces.actions import move_piece
from shopapp.listings.selling.actions import sell
from shopapp.listings.selling.ending import take_back
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

Spend = Callable[[], None]
How = Sale.How
# A fair is over, and its money counted, long before that.
OLDEST = 92, "three months"
_MEND = "Write it down on the page of the piece."


@dataclass(frozen=True)
class Sent:
    """``kind`` is "sale" or "undo"; ``key`` what the phone calls the sale, ``at`` when it was tapped."""

    kind: str
    fair: Fair
    key: str
    at: datetime
    piece: Piece | None = None
    price: Decimal = Decimal(0)
    how: str = How.CASH


def read_sent(given: Mapping[str, str], now: datetime) -> Sent:
    """What was sent, read. Raises PlannerError for what no page sends."""
    fair = Fair.objects.filter(pk=_number(given.get("fair", ""))).first()
    if fair is None:
        raise PlannerError("There is no such fair.", mend=_MEND)
    kind, key = given.get("kind", ""), given.get("sale", "")[:60]
    if kind not in ("sale", "undo") or not (key.isascii() and key.isalnum()):
        raise PlannerError("Nothing was named to be done.", mend=_MEND)
    at = moment_of(given.get("at", ""), now, OLDEST, _MEND)
    if kind == "undo":
        return Sent(kind, fair, key, at)
    piece = Piece.objects.filter(pk=_number(given.get("piece", ""))).first()
    if piece is None:
        raise PlannerError("There is no such piece.", mend=_MEND)
    how = given.get("how", "") or How.CASH
    if how not in (How.CASH, How.CARD):
        raise PlannerError("It was paid in no way that a stall takes.", mend=_MEND)
    return Sent(kind, fair, key, at, piece, price_of(given.get("price", "")), how)


def _number(text: str) -> int:
    return whole_number(text, 15) or 0


def price_of(text: str) -> Decimal:
    """Raises PlannerError for what is no price in the shop's currency."""
    try:
        price = parse_money(text, exponent=the_workshop().currency_exponent)
    except MeasureError as error:
        raise PlannerError(str(error), field="price") from error
    if not 0 < price <= MOST_MONEY:
        raise PlannerError("Sold for nothing is given away.", mend="Write what was got.", field="price")
    return price


def write(*, who: Member | None, sent: Sent, spend: Spend = lambda: None) -> str:
    """Write down what was sent; what is so now, in a sentence. Raises AlreadySent the second time."""
    return (_undo if sent.kind == "undo" else _sale)(who, sent, spend)


def _sale(who: Member | None, sent: Sent, spend: Spend) -> str:
    channel = Channel.objects.filter(kind=Channel.Kind.FAIR, kept=True).order_by("pk").first()
    sale = sell(
        who=who, piece=sent.piece, price=sent.price, on=timezone.localdate(sent.at), how=sent.how, channel=channel,
        fair=sent.fair, key=sent.key, late_ok=True, spend=spend,
    )  # fmt: skip
    piece = Piece.objects.get(pk=sale.piece_id)
    said = f"{piece} is sold for {money(sale.price, sale)}."
    return said if piece.sale_id == sale.pk else f"{said} It was gone already: one of the two has to give way."


def _undo(who: Member | None, sent: Sent, spend: Spend) -> str:
    """That a sale was none: an entry that takes it back. The piece stands at the stall again, where it stood."""
    owner_only(who)
    with transaction.atomic():
        spend()
        sale = Sale.objects.select_related("piece").filter(key=sent.key, fair=sent.fair).first()
        if sale is None:
            # The sale itself was refused, so there is none to take back.
            return "That sale was never written down, so nothing is taken back."
        if sale.changes.exclude(kind=SaleChange.Kind.REDUCED).exists():
            return f"The sale of {sale.piece} was over already."
        stood = Piece.objects.select_for_update(of=("self",)).filter(pk=sale.piece_id, sale=sale).exists()
        on = max(timezone.localdate(sent.at), sale.on)
        take_back(who=who, sale=sale, kind=SaleChange.Kind.MISTAKE, on=on, where=Piece.Where.FAIR)
        if stood:
            piece = Piece.objects.get(pk=sale.piece_id)
            words = f"{piece} stands at {sent.fair} again."
            move_piece(who, piece, Piece.Where.FAIR, on=on, words=words, fair=sent.fair)
    return f"The sale of {sale.piece} is taken back."
