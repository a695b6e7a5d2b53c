"""A piece is sold once: sold, given, held, withdrawn, sold as a commission; every ending of a sale is in `ending`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, write_audit
from shopapp.common.templatetags.shop import money
from shopapp.jobs.words import day
from shopapp.listings import telling
from shopapp.listings.models import Channel, Expense, Fair, Listing, ListingEvent, Piece, PieceEvent, Sale
from shopapp.listings.pieces.actions import move_piece
from shopapp.listings.pieces.readers import cost_of, shop_of
from shopapp.payments.actions import expect
from shopapp.people.choosing import person_of
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only
from shopapp.workshop.models import Workshop

from . import deals, planning

Spend = Callable[[], None]
Where = Piece.Where
State = Listing.State
NOUGHT = Decimal(0)
# Where a piece is that can be sold or given.
FREE = (Where.HERE, Where.FAIR, Where.SHOP, Where.DAMAGED)
OFFERED = (State.FOR_SALE, State.HELD)


class AlreadySold(PlannerError):
    """Somebody else was quicker, or it was given away: the words say what happened. ``sale`` is the one that stands, if
    any."""

    def __init__(self, words: str, *, mend: str, sale: Sale | None = None) -> None:
        super().__init__(words, mend=mend)
        self.sale = sale


@dataclass(frozen=True)
class Sold:
    """A sale to be written: ``sums`` as they are, ``fees`` as the channel takes them."""

    price: Decimal
    carriage: Decimal
    sums: planning.Sums
    tax: Fraction
    tax_included: bool
    fees: list[planning.FeeTaken]
    shop: Workshop
    on: date
    how: str
    channel: Channel | None = None
    fair: Fair | None = None
    key: str = ""
    account_key: str = ""
    words: str = ""


def sell(
    *, who: Member | None, piece: Piece, price: Decimal, on: date, how: str, to_whom: Person | str | None = None,
    channel: Channel | None = None, fair: Fair | None = None, carriage: Decimal = NOUGHT, key: str = "",
    listing: Listing | None = None, seen_version: int | None = None, late_ok: bool = False, words: str = "",
    spend: Spend = lambda: None,
) -> Sale:  # fmt: skip
    """A piece is sold for ``price`` and ``carriage``, in the currency it is listed in, with the shop's tax of today.

    ``key`` is what the device that wrote it down calls it: the same once more gives the sale there is. Raises
    AlreadySold where the piece was sold or given meanwhile, ListingMoved where ``seen_version`` of its listing is not
    the newest. With ``late_ok`` it is written all the same, beside the sale that stands: it happened, and somebody has
    to say which of the two stands.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        if key and (before := Sale.objects.filter(key=key).first()) is not None:
            if before.piece_id != piece.pk:
                raise PlannerError("That was written down of another piece.", mend="Write it down anew.")
            return before
        if not late_ok:
            to_be_had(piece)
        listing = its_listing(piece, listing, seen_version)
        if price <= 0:
            raise PlannerError("Sold for nothing is given away.", mend="Say that it was given, or what was got.",
                               field="price")  # fmt: skip
        shop = shop_of(piece, listing)
        sums = planning.sums_of_sale(price, carriage, shop)
        fees = planning.fees_taken(price, carriage, channel, shop, commission_of(piece, channel))
        on_account = how == Sale.How.INVOICE
        sold = Sold(
            price, carriage, sums, shop.tax, shop.tax_included, fees, shop, on, how, channel, fair, key,
            deals.next_key(piece) if on_account else "", words,
        )  # fmt: skip
        sale = write_sale(who, piece, listing, sold, person_of(who, to_whom), late_ok=late_ok)
        if on_account:
            if sale.person is None:
                raise PlannerError("An invoice is to somebody.", mend="Write to whom it was sold.", field="to_whom")
            expect(who, deals.deal_of_sale(sale))
    return sale


def hold_piece(piece: Piece) -> Piece:
    """The piece's row, held until the transaction ends: whoever sells it too waits here."""
    return Piece.objects.select_for_update(of=("self",)).select_related("job__plan").get(pk=piece.pk)


def to_be_had(piece: Piece) -> None:
    """Raises AlreadySold where a held piece is not: that is told before a listing that was changed by the same sale."""
    if piece.sale_id is not None or piece.where not in FREE:
        raise already(piece)


def its_listing(piece: Piece, listing: Listing | None, seen_version: int | None = None) -> Listing | None:
    """The listing of a piece that is not withdrawn, held; ``listing`` where it was named."""
    if listing is None:
        listing = piece.listings.exclude(state=State.WITHDRAWN).first()
    return None if listing is None else telling.locked(listing, seen_version)


def commission_of(piece: Piece, channel: Channel | None) -> Fraction | None:
    """What was agreed with the shop a piece lies with, when it is sold through that shop."""
    return None if channel is None else commissions_of(piece).get(channel.pk)


def commissions_of(piece: Piece) -> dict[int, Fraction | None]:
    """By the key of the shop it lies with, none where it lies elsewhere. One query at most."""
    event = piece.events.filter(where=Where.SHOP).first() if piece.where == Where.SHOP else None
    return {} if event is None or event.channel_id is None else {event.channel_id: event.commission}


def write_sale(
    who: Member | None, piece: Piece, listing: Listing | None, sold: Sold, person: Person | None, *,
    late_ok: bool = False, for_whom: str = "",
) -> Sale:  # fmt: skip
    """The sale of a held piece, the fees of it, and the story of both. Raises AlreadySold."""
    sale = Sale.objects.create(
        piece=piece, listing=listing, channel=sold.channel, fair=sold.fair, on=sold.on, person=person,
        to_whom=person.name if person else for_whom, price=sold.price, carriage=sold.carriage, gross=sold.sums.gross,
        tax=sold.tax, tax_included=sold.tax_included, tax_sum=sold.sums.tax, net=sold.sums.net,
        currency_symbol=sold.shop.currency_symbol, currency_exponent=sold.shop.currency_exponent, how=sold.how,
        account_key=sold.account_key, key=sold.key, settled=_settled(piece, sold), words=sold.words, who=who,
    )  # fmt: skip
    # Of two who come at once the one whose condition still holds has it.
    stands = Piece.objects.filter(pk=piece.pk, sale=None, where__in=FREE).update(sale=sale)
    if not stands and not late_ok:
        raise already(piece)
    for fee in sold.fees:
        Expense.objects.create(
            kind=Expense.Kind.FEE, on=sold.on, amount=fee.amount, currency_symbol=sale.currency_symbol,
            currency_exponent=sale.currency_exponent, words=f"{fee.name}, of the sale of {piece}"[:200], sale=sale,
            piece=piece, channel=sold.channel, who=who,
        )  # fmt: skip
    called = listing.title if listing is not None else str(piece)
    whom = f" to {sale.to_whom}" if sale.to_whom else ""
    through = _through(sold)
    said = f"{called} was sold{whom}{through} for {money(sale.price, sale)}."
    if stands:
        piece.sale = sale
        if listing is not None and listing.state in OFFERED:
            telling.turn(who, listing, State.SOLD, said, plain=f"{called} was sold.", on=sold.on, person=person,
                         sale=sale)  # fmt: skip
        move_piece(who, piece, Where.SOLD, on=sold.on, words=said, plain=f"{called} was sold.", person=person,
                   channel=sold.channel, fair=sold.fair)  # fmt: skip
    else:
        said = f"{said} It was gone already: both are written down, and one of them has to give way."
        move_piece(who, piece, piece.where, on=sold.on, words=said, plain=f"{called} was sold a second time.",
                   person=person, channel=sold.channel, fair=sold.fair)  # fmt: skip
    write_audit(who, said, piece)
    return sale


def _through(sold: Sold) -> str:
    return f" at {sold.fair}" if sold.fair else f" through {sold.channel}" if sold.channel else ""


def _settled(piece: Piece, sold: Sold) -> dict[str, object]:
    """How the net sum was shared out that day: fees, what the piece had cost by then, and what was left."""
    cost, fees = cost_of(piece), sum((fee.amount for fee in sold.fees), NOUGHT)
    return {
        "fees": [[fee.name, str(fee.amount)] for fee in sold.fees],
        "cost": str(cost),
        "left": str(sold.sums.net - fees - cost),
    }


def already(piece: Piece) -> AlreadySold:
    """What happened to a piece that is not to be had any more."""
    piece = Piece.objects.select_related("sale__channel", "sale__fair").get(pk=piece.pk)
    sale, event = piece.sale, piece.events.exclude(where__in=FREE).first()
    if sale is not None:
        whom = f" to {sale.to_whom}" if sale.to_whom else ""
        through = f" at {sale.fair}" if sale.fair else f" through {sale.channel}" if sale.channel else ""
        words = f"{piece} was sold on {day(sale.on)}{whom}{through}."
        return AlreadySold(words, mend="Tell whoever wanted it now, or look at that sale.", sale=sale)
    if event is None:
        return AlreadySold(f"{piece} is not to be had.", mend="Look at where it is.")
    return AlreadySold(f"{piece} is {piece.get_where_display()}, since {day(event.on)}.",
                       mend="Look at where it is; a gift can be taken back there.")  # fmt: skip


def give(
    *, who: Member | None, piece: Piece, on: date, to_whom: Person | str | None = None, listing: Listing | None = None,
    seen_version: int | None = None, instead_of: Piece | None = None, spend: Spend = lambda: None,
) -> PieceEvent:  # fmt: skip
    """A piece is given away, to somebody or nobody who is named, or goes out in the place of another. Raises as
    ``sell`` does."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        to_be_had(piece)
        listing = its_listing(piece, listing, seen_version)
        if not Piece.objects.filter(pk=piece.pk, sale=None, where__in=FREE).update(where=Where.GIVEN):
            raise already(piece)
        person = person_of(who, to_whom)
        called = listing.title if listing is not None else str(piece)
        said, plain = f"{called} was given {f'to {person.name}' if person else 'away'}.", f"{called} was given away."
        if instead_of is not None:
            plain = f"{called} went out in the place of {instead_of}."
            said = f"{plain[:-1]}, to {person.name}." if person else plain
        if listing is not None:
            telling.turn(who, listing, State.GIVEN, said, plain=plain, on=on, person=person)
        event = move_piece(who, piece, Where.GIVEN, on=on, words=said, plain=plain, person=person,
                           instead_of=instead_of)  # fmt: skip
        write_audit(who, said, piece)
    return event


def hold(
    *, who: Member | None, listing: Listing, until: date, to_whom: Person | str | None = None, seen_version: int | None,
    spend: Spend = lambda: None,
) -> ListingEvent:  # fmt: skip
    """A listed piece is held for somebody until a day; nobody sees it for sale meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = telling.locked(listing, seen_version)
        if listing.state not in OFFERED:
            raise telling.ListingMoved(f"{listing.title} is {listing.get_state_display()}.",
                                       mend="Only what is for sale can be held.")  # fmt: skip
        if until < timezone.localdate():
            raise PlannerError("That day is over.", mend="Hold it until a day to come.", field="until")
        person = person_of(who, to_whom)
        whom = f" for {person.name}" if person else ""
        return telling.turn(
            who, listing, State.HELD, f"{listing.title} is held{whom} until {day(until)}.",
            plain=f"{listing.title} is held until {day(until)}.", person=person, held_until=until,
        )  # fmt: skip


def withdraw(
    *, who: Member | None, listing: Listing, words: str = "", seen_version: int | None, spend: Spend = lambda: None
) -> ListingEvent:
    """A listed piece is offered no more, through no channel and to no visitor; it may be listed anew."""
    owner_only(who)
    with transaction.atomic():
        spend()
        return withdrawn(who, telling.locked(listing, seen_version), words)


def withdrawn(who: Member | None, listing: Listing, why: str = "") -> ListingEvent:
    """The same of a held listing, within whoever's transaction it follows from."""
    if listing.state not in OFFERED:
        raise telling.ListingMoved(f"{listing.title} is {listing.get_state_display()}.",
                                   mend="Look at it as it is now.")  # fmt: skip
    listing.offerings.filter(on=True).update(on=False)
    said = f"{listing.title} was withdrawn{f': {why}' if why else '.'}"
    return telling.turn(who, listing, State.WITHDRAWN, said, plain=f"{listing.title} was withdrawn.")


def show_again(who: Member | None, listing: Listing, words: str) -> ListingEvent:
    """A held listing is for sale again, within whoever's transaction it follows from."""
    bump_version(listing.piece)
    return telling.turn(who, listing, State.FOR_SALE, words, plain=words)
