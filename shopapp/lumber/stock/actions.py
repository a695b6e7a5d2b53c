"""What happens to pieces on the rack: split, measured again, surfaced, moved, set aside, scrapped, undone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import Length, format_length
from shopapp.common.actions import write_audit
from shopapp.lumber.models import StockEntry, StockMove, StockPiece
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from . import planning
from .ledger import RACK, WASTE, StockMoved, add_piece, change_piece, differs, open_entry, restored
from .marks import split_marks

Spend = Callable[[], None]
Kind, State = StockEntry.Kind, StockPiece.State


@dataclass(frozen=True)
class Size:
    """What was measured of a piece: thickness, width, length along the grain; ``surfaced`` where it was milled since,
    None where it is as it was."""

    thickness: Length
    width: Length
    length: Length
    surfaced: bool | None = None


def split_piece(
    *, who: Member, piece: StockPiece, parts: Sequence[Size], spend: Spend = lambda: None
) -> list[StockPiece]:
    """Cut a piece in two or more, or down to one smaller; each part has its share of the worth by volume, and what was
    promised to somebody stays promised."""
    if not parts:
        raise PlannerError("There is no part to keep.", mend="Measure at least one part, or scrap the piece.")
    with transaction.atomic():
        spend()
        piece = _here(piece)
        for part in parts:
            _fits(part, piece)
        if sum(planning.volume(part) for part in parts) > planning.volume(piece):
            raise PlannerError(f"The parts hold more wood than {piece.mark} does.", mend="Measure them again.")
        worths = planning.shared_by_volume(piece.worth, parts, the_workshop().currency_exponent)
        marks, promised = split_marks(piece.mark, piece.wood, len(parts)), piece.demand_id
        entry = _tell(who, Kind.SPLIT, f"{piece.mark} was split into {', '.join(marks)}.", piece)
        leave_rack(entry, piece, State.SPLIT, went_to=piece.mark)
        kept = {"came_from": piece.mark, "demand_id": promised, "set_aside": piece.set_aside}
        return [
            add_offcut(entry, piece, mark, part, worth, **kept)
            for mark, part, worth in zip(marks, parts, worths, strict=True)
        ]


def measure_piece(*, who: Member, piece: StockPiece, size: Size, spend: Spend = lambda: None) -> StockPiece:
    """Write what a piece measures now; its worth stays."""
    with transaction.atomic():
        spend()
        piece = _here(piece)
        said = f"{piece.mark} was measured again: {_said(size)}; the book had {_said(piece)}."
        entry = _tell(who, Kind.MEASURED, said, piece)
        change_piece(entry, piece, thickness=size.thickness, width=size.width, length=size.length)
    return piece


def surface_piece(*, who: Member, piece: StockPiece, thickness: Length, spend: Spend = lambda: None) -> StockPiece:
    """A rough piece was planed to ``thickness``; its worth stays, for shavings are part of what a board costs."""
    with transaction.atomic():
        spend()
        piece = _here(piece)
        if thickness > piece.thickness:
            raise PlannerError(
                f"{piece.mark} is thinner than that already.", mend="Measure it again.", field="thickness"
            )
        unit = the_workshop().unit
        entry = _tell(who, Kind.SURFACED, f"{piece.mark} was surfaced to {format_length(thickness, unit)}.", piece)
        change_piece(entry, piece, thickness=thickness, surfaced=True)
    return piece


def move_piece(*, who: Member, piece: StockPiece, place: str, spend: Spend = lambda: None) -> StockPiece:
    with transaction.atomic():
        spend()
        piece = _here(piece)
        entry = _tell(who, Kind.MOVED, f"{piece.mark} was moved to {place or 'no named place'}.", piece)
        change_piece(entry, piece, place=place)
    return piece


def set_piece_aside(*, who: Member, piece: StockPiece, reason: str, spend: Spend = lambda: None) -> StockPiece:
    """Keep a piece from being offered, with a reason; an empty one offers it again."""
    with transaction.atomic():
        spend()
        piece = _here(piece)
        told = f"{piece.mark} was set aside: {reason}." if reason else f"{piece.mark} may be used again."
        entry = _tell(who, Kind.ASIDE, told, piece)
        change_piece(entry, piece, set_aside=reason)
    return piece


def scrap_piece(*, who: Member, piece: StockPiece, reason: str, spend: Spend = lambda: None) -> StockPiece:
    """The piece is no use any more; what it was worth is waste."""
    if not reason.strip():
        raise PlannerError("There is no reason.", mend="Say in a word why: a split, worm, too short.", field="reason")
    with transaction.atomic():
        spend()
        piece = _here(piece)
        promised = f" It was promised to {piece.demand}." if piece.demand else ""
        entry = _tell(who, Kind.SCRAPPED, f"{piece.mark} was scrapped: {reason.strip()}.{promised}", piece)
        leave_rack(entry, piece, State.SCRAPPED, went_to=WASTE)
    return piece


def scrap_pieces(*, who: Member, pieces: Sequence[StockPiece], reason: str, spend: Spend = lambda: None) -> StockEntry:
    """Several pieces are no use any more: one entry for all of them, or none. Raises StockMoved for a piece that was
    changed meanwhile or is promised."""
    owner_only(who)
    if not reason.strip():
        raise PlannerError("There is no reason.", mend="Say in a word why: too short, worm, splits.", field="reason")
    if not pieces:
        raise PlannerError("No piece is ticked.", mend="Tick at least one.")
    if len(pieces) == 1:
        scrap_piece(who=who, piece=pieces[0], reason=reason, spend=spend)
        return pieces[0].moves.order_by("-pk")[0].entry
    with transaction.atomic():
        spend()
        for piece in map(_here, pieces):
            if piece.demand_id is not None:
                raise StockMoved(f"{piece.mark} is promised to {piece.demand}.", mend="Release it first, or leave it.")
        marks = ", ".join(piece.mark for piece in pieces[:20]) + (f" and {len(pieces) - 20} more" * (len(pieces) > 20))
        entry = _tell(who, Kind.SCRAPPED, f"{marks} were scrapped: {reason.strip()}.", None)
        for piece in pieces:
            leave_rack(entry, piece, State.SCRAPPED, went_to=WASTE)
    return entry


def undo_entry(*, who: Member, entry: StockEntry, spend: Spend = lambda: None) -> StockEntry:
    """Undo an entry by another: every piece is again as it was before it, and what it brought never was.

    Raises PlannerError when it was undone already, or when a piece of it was changed since.
    """
    with transaction.atomic():
        spend()
        if entry.kind == Kind.UNDONE:
            raise PlannerError("What undoes another entry is not undone itself.", mend="Do the thing again instead.")
        if StockEntry.objects.filter(undoes=entry).exists():
            raise PlannerError("This entry was undone already.", mend="Nothing more is to be done.")
        undoing = _tell(who, Kind.UNDONE, f"Undone: {entry.words}", None, undoes=entry)
        for move in entry.moves.select_related("piece").order_by("-pk"):
            _turn_back(undoing, move)
    return undoing


def _turn_back(undoing: StockEntry, move: StockMove) -> None:
    piece = move.piece
    if any(differs(name, piece, kept) for name, kept in move.after.items()):
        raise StockMoved(f"{piece.mark} was changed since.", mend="Undo what came after it first.")
    if move.before:
        change_piece(
            undoing, piece, came_from=move.went_to, went_to=move.came_from, carried=move.worth, **restored(move.before)
        )
    elif move.after:
        leave_rack(undoing, piece, State.UNDONE, went_to=move.came_from)
    else:
        # Only touched, as a board is of which something came back.
        change_piece(undoing, piece)


# --- what other rooms build on ------------------------------------------------------------------------------


def leave_rack(entry: StockEntry, piece: StockPiece, state: str, *, went_to: str, **changes: object) -> None:
    """The piece leaves the rack, and its worth goes with it to ``went_to``."""
    change_piece(
        entry, piece, came_from=RACK, went_to=went_to, carried=piece.worth,
        **{"state": state, "worth": Decimal(0), "demand_id": None, **changes},
    )  # fmt: skip


def add_offcut(
    entry: StockEntry, piece: StockPiece, mark: str, size: Size, worth: Decimal, *, came_from: str,
    demand_id: int | None = None, set_aside: str = "",
) -> StockPiece:  # fmt: skip
    """A part of ``piece`` comes to the rack as a piece of its own, promised to the demand of that number if any."""
    return add_piece(
        entry, came_from=came_from, mark=mark, lot=piece.lot, parent=piece, wood=piece.wood, thickness=size.thickness,
        width=size.width, length=size.length, place=piece.place, worth=worth,
        surfaced=piece.surfaced if size.surfaced is None else size.surfaced, demand_id=demand_id, set_aside=set_aside,
    )  # fmt: skip


def _tell(who: Member, kind: str, words: str, piece: StockPiece | None, *, undoes: StockEntry | None = None):
    entry = open_entry(who, kind, words, undoes=undoes)
    write_audit(who, words, piece or entry)
    return entry


def _here(piece: StockPiece) -> StockPiece:
    """The piece as it was seen, if it is on the rack."""
    if piece.state != State.HERE:
        raise StockMoved(f"{piece.mark} is not on the rack: {piece.get_state_display()}.", mend="Look at it anew.")
    return piece


def _fits(part: Size, piece: StockPiece) -> None:
    if part.length > piece.length or part.width > piece.width or part.thickness > piece.thickness:
        raise PlannerError(
            f"A part of {_said(part)} cannot come from {piece.mark}, which is {_said(piece)}.",
            mend="Measure it again, or measure the whole piece again first.",
        )


def _said(size: Size | StockPiece) -> str:
    unit = the_workshop().unit
    sides = (format_length(side, unit, with_unit=False) for side in (size.thickness, size.width, size.length))
    return f"{' × '.join(sides)} {unit}"
