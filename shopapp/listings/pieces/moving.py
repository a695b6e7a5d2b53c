"""Where a piece lies that nobody has yet: here, at a fair, with a shop on sale or return; damaged, or written off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.jobs.words import day
from shopapp.listings.models import Channel, Fair, Listing, Piece, PieceEvent
from shopapp.listings.selling.actions import hold_piece, its_listing, withdrawn
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .actions import move_piece

Spend = Callable[[], None]
Where = Piece.Where
# Where a piece may be brought while nobody has it; and from where.
TO = (Where.HERE, Where.FAIR, Where.SHOP, Where.DAMAGED, Where.GONE)
NOT_TO_BE_HAD = (Where.DAMAGED, Where.GONE)


@dataclass(frozen=True)
class Going:
    """``channel`` is the shop, at ``commission`` of the price and until ``back_by``; ``fair`` the fair."""

    where: str
    on: date
    channel: Channel | None = None
    commission: Fraction | None = None
    back_by: date | None = None
    fair: Fair | None = None
    words: str = ""


def bring(*, who: Member | None, piece: Piece, going: Going, spend: Spend = lambda: None) -> PieceEvent:
    """Write down where an unsold piece is from now on. What is damaged or written off is offered no more.

    Raises PlannerError where it is sold, given or on its way, and where shop or fair are not named.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        if piece.sale_id is not None or piece.where not in TO:
            raise PlannerError(f"{piece} is {piece.get_where_display()}.", mend="Say first that it came back.")
        _named(going)
        more = {}
        if going.where == Where.SHOP:
            commission = going.channel.percent if going.commission is None else going.commission
            more = {"channel": going.channel, "commission": commission, "back_by": going.back_by}
        elif going.where == Where.FAIR:
            more = {"fair": going.fair}
        words = _said(piece, going)
        event = move_piece(who, piece, going.where, on=going.on, words=words, plain=words, **more)
        if going.where in NOT_TO_BE_HAD:
            listing = its_listing(piece, None)
            if listing is not None and listing.state in (Listing.State.FOR_SALE, Listing.State.HELD):
                withdrawn(who, listing, going.words)
        write_audit(who, words, piece)
    return event


def _named(going: Going) -> None:
    if going.where not in TO:
        raise PlannerError("It is not brought there by hand.", mend="Choose where it is.", field="where")
    if going.where == Where.SHOP and (going.channel is None or going.channel.kind != Channel.Kind.SHOP):
        raise PlannerError("It is not said which shop has it.", mend="Choose the shop, or write it down first under "
                           "Channels.", field="channel")  # fmt: skip
    if going.where == Where.FAIR and going.fair is None:
        raise PlannerError("It is not said which fair it is at.", mend="Choose the fair, or write it down first.",
                           field="fair")  # fmt: skip
    if going.back_by is not None and going.back_by < going.on:
        raise PlannerError("It would be back before it went.", mend="Look at both days.", field="back_by")


def _said(piece: Piece, going: Going) -> str:
    why = f": {going.words}" if going.words else "."
    if going.where == Where.SHOP:
        back = f", back by {day(going.back_by)}" if going.back_by else ""
        return f"{piece} is with {going.channel} on sale or return{back}{why}"
    if going.where == Where.FAIR:
        return f"{piece} is at {going.fair}{why}"
    words = {Where.HERE: "is here", Where.DAMAGED: "is damaged", Where.GONE: "was written off"}[Where(going.where)]
    return f"{piece} {words}{why}"
