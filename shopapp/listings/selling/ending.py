"""What becomes of a sale: a part given back, the piece come back, the sale fallen through; and which of two stands."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.templatetags.shop import money
from shopapp.listings import telling
from shopapp.listings.models import Expense, Listing, ListingEvent, Piece, Sale, SaleChange
from shopapp.listings.pieces.actions import move_piece
from shopapp.payments.actions import stop_expecting
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import deals, planning
from .actions import FREE, NOUGHT, hold_piece, its_listing

Spend = Callable[[], None]
Kind = SaleChange.Kind
Where = Piece.Where
State = Listing.State
# After these nothing of what was paid stays with the shop.
ALL_BACK = (Kind.FELL_THROUGH, Kind.GAVE_WAY, Kind.MISTAKE)
_SAID = {
    Kind.REDUCED: "{back} of the price of {piece} was given back{whom}.",
    Kind.RETURNED: "{piece} came back{whom}; {back} was given back.",
    Kind.FELL_THROUGH: "The sale of {piece}{to} fell through.",
    Kind.GAVE_WAY: "The sale of {piece}{to} gave way to another; {back} goes back.",
    Kind.MISTAKE: "The sale of {piece}{to} was written down by mistake.",
}


def take_back(
    *, who: Member | None, sale: Sale, kind: str, on: date, back: Decimal | None = None, words: str = "",
    where: str = Where.HERE, fees_back: bool | None = None, spend: Spend = lambda: None,
) -> SaleChange:  # fmt: skip
    """``back`` of what was paid goes back, tax in it; all that is left of it where it is None. An ending that is not a
    return gives all of it back. Where the sale ended and was the one that stood, the piece is ``where`` and free again,
    and its listing is for sale or, where the piece is not to be had, withdrawn.

    ``fees_back``: what the channel took is taken back too; None for all endings but a return. No more is expected on
    an invoice of ours that was not paid; what was paid on one goes back by a credit note, where money is kept.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(sale.piece)
        return _taken_back(who, piece, sale, kind, on, back, words, where, fees_back)


def give_back(who: Member | None, piece: Piece, sale: Sale, on: date, back: Decimal, words: str) -> SaleChange:
    """A part of what was paid goes back, within whoever's transaction it follows from."""
    return _taken_back(who, piece, sale, Kind.REDUCED, on, back, words, piece.where)


def _taken_back(
    who: Member | None, piece: Piece, sale: Sale, kind: str, on: date, back: Decimal | None, words: str, where: str,
    fees_back: bool | None = None,
) -> SaleChange:  # fmt: skip
    sale = Sale.objects.get(pk=sale.pk)
    before = list(sale.changes.all())
    if any(change.kind != Kind.REDUCED for change in before):
        raise telling.ListingMoved(f"The sale of {piece} is over already.", mend="Look at it as it is now.")
    if on < sale.on:
        raise PlannerError("It was sold later than that.", mend="Look at the day.", field="on")
    given = sum((change.back for change in before), NOUGHT)
    left = sale.gross - given
    back = left if back is None or kind in ALL_BACK else back
    if back > left:
        raise PlannerError(f"{money(left, sale)} is left of what was paid.", mend="Write no more than that.",
                           field="back")  # fmt: skip
    if kind == Kind.REDUCED and back <= 0:
        raise PlannerError("Nothing was given back.", mend="Write how much.", field="back")
    whole = planning.Sums(sale.net, sale.tax_sum, sale.gross)
    tax = planning.tax_given_back(whole, given, back, sale.currency_exponent)
    change = SaleChange.objects.create(sale=sale, kind=kind, on=on, back=back, back_tax=tax, words=words, who=who)
    names = {"piece": str(piece), "back": money(back, sale)}
    to = f" to {sale.to_whom}" if sale.to_whom else ""
    said = _SAID[Kind(kind)].format(**names, to=to, whom=to if kind == Kind.REDUCED else "")
    if kind == Kind.RETURNED and not back:
        said = f"{piece} came back; nothing was given back."
    plain = _SAID[Kind(kind)].format(**{**names, "back": "A part"}, to="", whom="") if kind == Kind.REDUCED else (
        f"{piece} was taken back."
    )  # fmt: skip
    if kind != Kind.REDUCED:
        if kind != Kind.RETURNED if fees_back is None else fees_back:
            _fees_back(who, sale, on)
        if sale.account_key.startswith(f"{deals.KIND} "):
            stop_expecting(who, sale.account_key, said)
        if piece.sale_id == sale.pk:
            _free(who, piece, sale, where, on, said, plain)
        else:
            move_piece(who, piece, piece.where, on=on, words=said, plain=plain)
    write_audit(who, said, piece)
    return change


def _fees_back(who: Member | None, sale: Sale, on: date) -> None:
    for fee in sale.expenses.filter(kind=Expense.Kind.FEE, undoes=None, undone_by=None):
        Expense.objects.create(
            kind=fee.kind, on=on, amount=-fee.amount, currency_symbol=fee.currency_symbol,
            currency_exponent=fee.currency_exponent, words=f"Back: {fee.words}"[:200], sale=sale, piece_id=fee.piece_id,
            fair_id=fee.fair_id, channel_id=fee.channel_id, undoes=fee, who=who,
        )  # fmt: skip


def _free(who: Member | None, piece: Piece, sale: Sale, where: str, on: date, said: str, plain: str) -> None:
    piece.sale = None
    piece.save(update_fields=["sale", "changed_at"])
    move_piece(who, piece, where, on=on, words=said, plain=plain)
    listing = its_listing(piece, None)
    if listing is not None and listing.state == State.SOLD:
        if where in FREE and where != Where.DAMAGED:
            again = f"{listing.title} is for sale again."
            telling.turn(who, listing, State.FOR_SALE, again, plain=again, on=on)
        else:
            _withdraw_sold(who, listing, on)


def _withdraw_sold(who: Member | None, listing: Listing, on: date) -> None:
    """What came back and cannot be sold as it was is offered no more."""
    listing.offerings.filter(on=True).update(on=False)
    said = f"{listing.title} was withdrawn."
    telling.turn(who, listing, State.WITHDRAWN, said, plain=said, on=on)


def let_stand(*, who: Member | None, sale: Sale, words: str = "", spend: Spend = lambda: None) -> Sale:
    """Of the sales of one piece this one stands from now on; the others give way, and what was paid for them goes
    back. A gift the piece was meanwhile is told as taken back. Raises ListingMoved where the sale has ended."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(sale.piece)
        sale = Sale.objects.select_related("person").get(pk=sale.pk)
        open_sales = open_sales_of(piece)
        if sale not in open_sales:
            raise telling.ListingMoved(f"That sale of {piece} is over already.", mend="Look at the others.")
        today, stood = timezone.localdate(), piece.sale_id == sale.pk
        # First whoever has it from now on, so that those who give way free nothing.
        piece.sale = sale
        piece.save(update_fields=["sale", "changed_at"])
        for other in open_sales:
            if other != sale:
                _taken_back(who, piece, other, Kind.GAVE_WAY, max(today, other.on), None, words, piece.where)
        if stood:
            return sale
        said = f"{piece} stays sold{f' to {sale.to_whom}' if sale.to_whom else ''}."
        move_piece(who, piece, Where.SOLD, on=max(today, sale.on), words=said, plain=f"{piece} stays sold.",
                   person=sale.person)  # fmt: skip
        listing = its_listing(piece, None)
        if listing is not None:
            telling.turn(who, listing, State.SOLD, said, plain=f"{piece} stays sold.", person=sale.person, sale=sale)
        write_audit(who, said, piece)
    return sale


def open_sales_of(piece: Piece) -> list[Sale]:
    """Sales of a piece that have not ended, the first written first; more than one is a clash."""
    ended = SaleChange.objects.exclude(kind=Kind.REDUCED).values("sale")
    return list(piece.sales.exclude(pk__in=ended).order_by("pk"))


def offer_again(
    *, who: Member | None, listing: Listing, seen_version: int | None, spend: Spend = lambda: None
) -> ListingEvent:
    """For sale again: what it was sold or given for fell through, it is held no more, or it was withdrawn. What was
    written of it stays."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(listing.piece)
        listing = telling.locked(listing, seen_version)
        if listing.state == State.FOR_SALE:
            raise telling.ListingMoved(f"{listing.title} is for sale.", mend="Look at it as it is now.")
        today = timezone.localdate()
        if listing.state == State.SOLD and piece.sale is not None:
            _taken_back(who, piece, piece.sale, Kind.FELL_THROUGH, max(today, piece.sale.on), None, "", Where.HERE)
            return listing.events.first()
        if listing.state == State.GIVEN:
            _gift_back(who, piece, today)
        _may_be_listed(piece, listing)
        again = f"{listing.title} is for sale again."
        return telling.turn(who, listing, State.FOR_SALE, again, plain=again)


def _may_be_listed(piece: Piece, listing: Listing) -> None:
    if piece.where not in FREE:
        raise telling.ListingMoved(f"{piece} is {piece.get_where_display()}.", mend="Look at where it is.")
    if piece.listings.exclude(state=State.WITHDRAWN).exclude(pk=listing.pk).exists():
        raise telling.ListingMoved(f"{piece} is listed anew already.", mend="Look at that listing.")


def take_gift_back(*, who: Member | None, piece: Piece, on: date, spend: Spend = lambda: None) -> None:
    """A gift came back: the piece is here again, and its listing, if any, for sale."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        if piece.where != Where.GIVEN or piece.sale_id is not None:
            raise telling.ListingMoved(f"{piece} is {piece.get_where_display()}.", mend="Look at it as it is now.")
        _gift_back(who, piece, on)
        listing = its_listing(piece, None)
        if listing is not None and listing.state == State.GIVEN:
            again = f"{listing.title} is for sale again."
            telling.turn(who, listing, State.FOR_SALE, again, plain=again, on=on)


def _gift_back(who: Member | None, piece: Piece, on: date) -> None:
    said = f"{piece} came back; it was not given away after all."
    move_piece(who, piece, Where.HERE, on=on, words=said)
    write_audit(who, said, piece)
