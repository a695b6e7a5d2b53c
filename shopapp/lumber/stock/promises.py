"""Wood promised, taken and brought back. Whoever wants it gives a label and a key of their own; nothing of it is
understood here."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.lumber.models import Demand, StockEntry, StockMove, StockPiece
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop

from . import planning
from .actions import Size, add_offcut, leave_rack
from .ledger import RACK, StockMoved, account_of, change_piece, open_entry
from .marks import split_marks

Spend = Callable[[], None]
Kind, State = StockEntry.Kind, StockPiece.State


def want_wood(*, label: str, key: str) -> Demand:
    """The demand of that key, made when it is not there yet; a newer label replaces an older one."""
    demand, _ = Demand.objects.update_or_create(key=key, defaults={"label": label[:120]})
    return demand


def reserve(
    *, who: Member | None, demand: Demand, pieces: Sequence[StockPiece], spend: Spend = lambda: None
) -> StockEntry:
    """Promise pieces to a demand: all of them or none."""
    with transaction.atomic():
        spend()
        for piece in _all_of(pieces):
            if piece.state != State.HERE or piece.set_aside or piece.demand_id not in (None, demand.pk):
                raise StockMoved(_why_not(piece), mend="Choose another piece.")
        words = f"{_marks(pieces)} {'was' if len(pieces) == 1 else 'were'} reserved for {demand.label}."
        entry = _open(who, Kind.RESERVED, words, demand)
        for piece in pieces:
            change_piece(entry, piece, demand_id=demand.pk)
    return entry


def release(*, who: Member | None, pieces: Sequence[StockPiece], spend: Spend = lambda: None) -> StockEntry:
    """Promised pieces are free again: all of them or none."""
    with transaction.atomic():
        spend()
        for piece in _all_of(pieces):
            if piece.state != State.HERE or piece.demand_id is None:
                raise StockMoved(f"{piece.mark} is not promised to anybody.", mend="Look at it as it is now.")
        words = f"{_marks(pieces)} {'is' if len(pieces) == 1 else 'are'} free again."
        entry = _open(who, Kind.RELEASED, words, pieces[0].demand)
        for piece in pieces:
            change_piece(entry, piece, demand_id=None)
    return entry


def take(*, who: Member | None, demand: Demand, pieces: Sequence[StockPiece], spend: Spend = lambda: None):
    """Take pieces from the rack for a demand: all of them or none, and none that is promised to another."""
    with transaction.atomic():
        spend()
        for piece in _all_of(pieces):
            if piece.state != State.HERE or piece.demand_id not in (None, demand.pk):
                raise StockMoved(_why_not(piece), mend="Choose another piece.")
        words = f"{_marks(pieces)} {'was' if len(pieces) == 1 else 'were'} taken for {demand.label}."
        entry = _open(who, Kind.TAKEN, words, demand)
        for piece in pieces:
            leave_rack(entry, piece, State.TAKEN, went_to=account_of(demand), demand_id=demand.pk)
    return entry


def bring_back(
    *, who: Member | None, piece: StockPiece, offcuts: Sequence[Size], spend: Spend = lambda: None
) -> list[StockPiece]:
    """What is left of a taken piece comes back measured, each with its share of what the piece was worth when it
    was taken. More than once is allowed, as long as no more wood and worth comes back than was taken."""
    if not offcuts:
        raise PlannerError("Nothing was measured.", mend="Measure what comes back.")
    with transaction.atomic():
        spend()
        if piece.state != State.TAKEN:
            raise StockMoved(f"{piece.mark} is not out.", mend="Look at it as it is now.")
        taken = piece.moves.filter(entry__kind=Kind.TAKEN).order_by("-pk").first()
        back = StockMove.objects.filter(entry__kind=Kind.RETURNED, piece__parent=piece, entry__undone_by=None)
        # An offcut that another job took and cut since came back only once.
        back = back.filter(before={}).exclude(after={})
        before = [move.piece for move in back.select_related("piece")]
        if sum(planning.volume(part) for part in (*before, *offcuts)) > planning.volume(piece):
            raise PlannerError(f"More would come back than {piece.mark} was.", mend="Measure the offcuts again.")
        marks = split_marks(piece.mark, piece.wood, len(offcuts))
        entry = _open(who, Kind.RETURNED, f"{', '.join(marks)} came back of {piece.mark}.", piece.demand)
        # The piece itself is touched, so that two who bring back at once are told of one another.
        change_piece(entry, piece)
        left = taken.worth - sum(move.worth for move in back)
        made = []
        for mark, size in zip(marks, offcuts, strict=True):
            exponent = the_workshop().currency_exponent
            worth = min(left, planning.worth_of_share(taken.worth, size, piece, exponent))
            left -= worth
            made.append(add_offcut(entry, piece, mark, size, worth, came_from=account_of(piece.demand)))
    return made


def bring_back_whole(*, who: Member | None, piece: StockPiece, spend: Spend = lambda: None) -> StockEntry:
    """A taken piece comes back uncut: it is on the rack again under its own mark, worth what it was."""
    return bring_all_back_whole(who=who, pieces=[piece], spend=spend)


def bring_all_back_whole(
    *, who: Member | None, pieces: Sequence[StockPiece], spend: Spend = lambda: None
) -> StockEntry:
    """Pieces taken for one demand come back uncut: all of them or none."""
    with transaction.atomic():
        spend()
        for piece in _all_of(pieces):
            if piece.state != State.TAKEN:
                raise StockMoved(f"{piece.mark} is not out.", mend="Look at it as it is now.")
            back = StockMove.objects.filter(entry__kind=Kind.RETURNED, piece__parent=piece, entry__undone_by=None)
            if back.exists():
                raise PlannerError(f"Parts of {piece.mark} came back already.", mend="Measure what else is left of it.")
        entry = _open(who, Kind.RETURNED, f"{_marks(pieces)} came back whole.", pieces[0].demand)
        for piece in pieces:
            taken = piece.moves.filter(entry__kind=Kind.TAKEN).order_by("-pk").first()
            change_piece(
                entry, piece, came_from=account_of(piece.demand), went_to=RACK, carried=taken.worth,
                state=State.HERE, worth=taken.worth, demand_id=None,
            )  # fmt: skip
    return entry


def _open(who: Member | None, kind: str, words: str, demand: Demand | None) -> StockEntry:
    entry = open_entry(who, kind, words, demand=demand)
    write_audit(who, words, entry)
    return entry


def _all_of(pieces: Sequence[StockPiece]) -> Sequence[StockPiece]:
    if not pieces:
        raise PlannerError("No piece was chosen.", mend="Choose at least one.")
    if len({piece.pk for piece in pieces}) != len(pieces):
        raise PlannerError("A piece was chosen twice.", mend="Choose each piece once.")
    return pieces


def _marks(pieces: Sequence[StockPiece]) -> str:
    return ", ".join(piece.mark for piece in pieces[:20]) + (f" and {len(pieces) - 20} more" * (len(pieces) > 20))


def _why_not(piece: StockPiece) -> str:
    if piece.state != State.HERE:
        return f"{piece.mark} is not on the rack: {piece.get_state_display()}."
    if piece.set_aside:
        return f"{piece.mark} is set aside: {piece.set_aside}."
    return f"{piece.mark} is promised to {piece.demand}."
