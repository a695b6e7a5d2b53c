"""A piece packed, its parcel sent, arrived, damaged, lost or back; and what follows where it is damaged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.db.models import Q

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.templatetags.shop import money
from shopapp.jobs.actions import JobFacts, make_job
from shopapp.jobs.models import Job
from shopapp.listings.mending.readers import AGAIN, carriage_of
from shopapp.listings.models import Expense, Parcel, ParcelEvent, Piece, SaleChange
from shopapp.listings.pieces.actions import move_piece
from shopapp.listings.pieces.readers import shop_of
from shopapp.listings.selling.actions import hold_piece
from shopapp.listings.selling.ending import take_back
from shopapp.listings.telling import ListingMoved
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only

Spend = Callable[[], None]
State = Parcel.State
Where = Piece.Where
# How far a parcel may come from where it is.
NEXT = {
    State.PACKED: (State.SENT, State.BACK),
    State.SENT: (State.ARRIVED, State.DAMAGED, State.LOST, State.BACK),
    State.ARRIVED: (State.DAMAGED, State.BACK),
    State.DAMAGED: (State.BACK,),
    State.LOST: (State.ARRIVED, State.DAMAGED, State.BACK),
    State.BACK: (),
}
UNDER_WAY = (State.PACKED, State.SENT)
GOES_WRONG = (State.DAMAGED, State.LOST, State.BACK)


@dataclass(frozen=True)
class Box:
    """Outside sizes, ``grams`` as weighed, ``cover`` what it is insured for."""

    length: Length | None = None
    width: Length | None = None
    height: Length | None = None
    grams: int | None = None
    cover: Decimal | None = None
    carrier: str = ""
    number: str = ""


def pack(*, who: Member | None, piece: Piece, box: Box, on: date, spend: Spend = lambda: None) -> Parcel:
    """A piece is in its box, for whoever bought it or was given it. Raises PlannerError where it is packed already, or
    is nobody's yet."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        if piece.sale_id is None and piece.where != Where.GIVEN:
            raise PlannerError(f"{piece} is nobody’s yet.", mend="Say first that it was sold or given.")
        if piece.parcels.filter(state__in=UNDER_WAY).exists():
            raise PlannerError(f"{piece} is in a box already.", mend="Look at that parcel.")
        shop = shop_of(piece)
        parcel = Parcel.objects.create(
            piece=piece, sale=piece.sale, person=_for_whom(piece), currency_symbol=shop.currency_symbol,
            currency_exponent=shop.currency_exponent, **vars(box),
        )  # fmt: skip
        _tell(who, parcel, State.PACKED, on, f"{piece} was packed.")
    return parcel


def _for_whom(piece: Piece) -> Person | None:
    if piece.sale is not None:
        return piece.sale.person
    event = piece.events.filter(where=Where.GIVEN).first()
    return event.person if event is not None else None


def change_parcel(
    *, who: Member | None, parcel: Parcel, box: Box, seen_version: int, spend: Spend = lambda: None
) -> Parcel:
    """What is known of a parcel, until it came to its end. Raises EditConflict."""
    owner_only(who)
    with transaction.atomic():
        spend()
        parcel = Parcel.objects.select_for_update().get(pk=parcel.pk)
        check_version(parcel, seen_version)
        for name, value in vars(box).items():
            setattr(parcel, name, value)
        parcel.save()
        bump_version(parcel)
        write_audit(who, f"What is known of the parcel of {parcel.piece} was changed.", parcel)
    return parcel


def move_parcel(
    *, who: Member | None, parcel: Parcel, state: str, on: date, words: str = "", carriage: Decimal | None = None,
    seen_version: int | None = None, spend: Spend = lambda: None,
) -> ParcelEvent:  # fmt: skip
    """How far a parcel came. What the carrier was paid is written down as it is sent. Raises ListingMoved where it is
    not as it was seen, or does not go there from where it is."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(parcel.piece)
        parcel = Parcel.objects.select_for_update().get(pk=parcel.pk)
        if seen_version is not None and parcel.edit_version != seen_version:
            raise ListingMoved("The parcel was changed meanwhile.", mend="Look at it as it is now.")
        if state not in NEXT[State(parcel.state)]:
            raise ListingMoved(f"The parcel is {parcel.get_state_display()}.", mend="Choose what comes after that.")
        if carriage and state == State.SENT:
            _pay_carrier(who, parcel, piece, on, carriage)
        said = f"{_SAID[state].format(piece=piece, **_with(parcel))}{f' {words}' if words else ''}"
        _piece_follows(who, parcel, piece, state, on, said)
        return _tell(who, parcel, state, on, said)


_SAID = {
    State.SENT: "{piece} was sent{carrier}{number}.",
    State.ARRIVED: "{piece} arrived.",
    State.DAMAGED: "{piece} arrived damaged.",
    State.LOST: "{piece} was lost on the way.",
    State.BACK: "{piece} came back.",
}


def _with(parcel: Parcel) -> dict[str, str]:
    return {
        "carrier": f" with {parcel.carrier}" if parcel.carrier else "",
        "number": f", number {parcel.number}" if parcel.number else "",
    }


def _piece_follows(who: Member | None, parcel: Parcel, piece: Piece, state: str, on: date, said: str) -> None:
    """The piece is where its parcel is, so long as it is still the one that was sold or given then."""
    if piece.sale_id != parcel.sale_id or piece.where not in (Where.SOLD, Where.GIVEN, Where.SENT):
        return
    theirs = Where.SOLD if piece.sale_id is not None else Where.GIVEN
    where = Where.SENT if state == State.SENT else theirs
    # The number of a parcel is theirs whom it goes to.
    plain = _SAID[state].format(piece=piece, carrier="", number="")
    out = piece.events.filter(where=Where.GIVEN).first() if where == Where.GIVEN else None
    move_piece(who, piece, where, on=on, words=said, plain=plain, instead_of=out.instead_of if out else None)


def _pay_carrier(who: Member | None, parcel: Parcel, piece: Piece, on: date, carriage: Decimal) -> Expense:
    before = carriage_of(parcel).order_by("-pk").first()
    return Expense.objects.create(
        kind=Expense.Kind.CARRIAGE, on=on, amount=carriage, currency_symbol=parcel.currency_symbol,
        currency_exponent=parcel.currency_exponent, words=f"Carriage of {piece}"[:200], sale=parcel.sale, piece=piece,
        channel=parcel.sale.channel if parcel.sale is not None else None, who=who,
        key=f"carriage of parcel {parcel.pk}{f'{AGAIN}{before.pk}' if before else ''}",
    )  # fmt: skip


def _tell(who: Member | None, parcel: Parcel, state: str, on: date, words: str) -> ParcelEvent:
    parcel.state = state
    parcel.save(update_fields=["state", "changed_at"])
    bump_version(parcel)
    write_audit(who, words, parcel)
    return ParcelEvent.objects.create(parcel=parcel, who=who, state=state, on=on, words=words[:400])


def money_back(
    *, who: Member | None, parcel: Parcel, on: date, back: Decimal | None, keeps: bool, spend: Spend = lambda: None
) -> SaleChange:
    """Of a parcel that went wrong: ``keeps`` is a part given back while the buyer keeps the piece; else the sale ends,
    all of it or ``back`` goes back, and the piece is here damaged, or gone where it was lost."""
    owner_only(who)
    with transaction.atomic():
        spend()
        parcel = Parcel.objects.select_for_update().get(pk=parcel.pk)
        sale = parcel.sale
        if parcel.state not in GOES_WRONG or sale is None or sale.piece.sale_id != sale.pk:
            raise ListingMoved("No sale stands of what was in it.", mend="Look at the piece as it is now.")
        why = f"Its parcel {parcel.get_state_display()}."
        if keeps:
            return take_back(who=who, sale=sale, kind=SaleChange.Kind.REDUCED, on=on, back=back, words=why)
        lost = parcel.state == State.LOST
        came_whole = parcel.state == State.BACK and not parcel.events.filter(state=State.DAMAGED).exists()
        where = Where.GONE if lost else Where.HERE if came_whole else Where.DAMAGED
        kind = SaleChange.Kind.FELL_THROUGH if lost else SaleChange.Kind.RETURNED
        if parcel.state == State.DAMAGED:
            _tell(who, parcel, State.BACK, on, f"{parcel.piece} came back damaged.")
        return take_back(who=who, sale=sale, kind=kind, on=on, back=back, words=why, where=where, fees_back=False)


def make_again(
    *, who: Member | None, parcel: Parcel, settled: str = Job.Settled.RESERVE, due: date | None = None,
    spend: Spend = lambda: None,
) -> Job:  # fmt: skip
    """A remake of what was damaged or lost, for whoever it was: a job from the same plan that names the first."""
    owner_only(who)
    with transaction.atomic():
        spend()
        parcel = Parcel.objects.select_for_update(of=("self",)).select_related("piece__job__plan", "person").get(
            pk=parcel.pk
        )  # fmt: skip
        if parcel.state not in GOES_WRONG:
            raise ListingMoved(f"The parcel is {parcel.get_state_display()}.", mend="Say first what became of it.")
        piece = parcel.piece
        if (before := remade(parcel)) is not None:
            raise ListingMoved(f"{before.label} is being made in its place.", mend="Look at that job.")
        facts = JobFacts(
            label=f"{piece.title}, made again"[:80], kind=Job.Kind.REMAKE,
            for_whom=parcel.sale.to_whom if parcel.sale else "", due=due, plan=piece.job.plan, person=parcel.person,
            of=piece.job, settled=settled,
        )  # fmt: skip
        job = make_job(who=who, facts=facts)
        parcel.remake = job
        parcel.save(update_fields=["remake", "changed_at"])
        write_audit(who, f"{job.label} is made in the place of {piece}.", parcel)
    return job


def remade(parcel: Parcel) -> Job | None:
    """The remake of what was in it that is not called off: begun here, or by hand since it was packed and not in the
    place of another piece. One query."""
    begun = Job.objects.filter(kind=Job.Kind.REMAKE).exclude(state=Job.State.CALLED_OFF)
    by_hand = Q(of=parcel.piece.job_id, created_at__gte=parcel.created_at, in_place_of=None)
    by_hand &= Q(pieces=None) | Q(pieces__instead_of=parcel.piece_id)
    return begun.filter(Q(in_place_of=parcel) | by_hand).order_by("pk").first()


def write_carriage(
    *, who: Member | None, parcel: Parcel, amount: Decimal, on: date, spend: Spend = lambda: None
) -> Expense:
    """What the carrier was paid, where it was not known as the parcel was sent. Raises ListingMoved where it is written
    down, or the parcel is still here."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(parcel.piece)
        parcel = Parcel.objects.select_for_update(of=("self",)).select_related("sale__channel").get(pk=parcel.pk)
        if not may_pay_carrier(parcel):
            raise ListingMoved("What the carrier was paid is not to be written now.", mend="Look at the parcel.")
        expense = _pay_carrier(who, parcel, piece, on, amount)
        write_audit(who, f"The carrier of {piece} was paid {money(amount, parcel)}.", parcel)
    return expense


def may_pay_carrier(parcel: Parcel) -> bool:
    """One query."""
    return parcel.state != State.PACKED and not carriage_of(parcel).filter(undoes=None, undone_by=None).exists()
