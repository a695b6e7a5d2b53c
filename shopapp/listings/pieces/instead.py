"""A remake stands in for the piece that was damaged or lost: which that is, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet

from planner.errors import PlannerError
from shopapp.jobs.models import Job
from shopapp.jobs.words import day
from shopapp.listings.models import Parcel, ParcelEvent, Piece, PieceEvent

Where = Piece.Where
WRONG = (Parcel.State.DAMAGED, Parcel.State.LOST)


def may_be_meant(job: Job) -> QuerySet[Piece]:
    """Pieces a board of a remake may stand in for: those of the job it is about."""
    return Piece.objects.filter(job=job.of_id) if job.kind == Job.Kind.REMAKE and job.of_id else Piece.objects.none()


def stands_in_for(job: Job) -> Piece | None:
    """The piece a remake is made in the place of: the one in the parcel it was begun from, else the only one there is;
    none that has another in its place already. Two queries at most, none where the job is no remake."""
    if job.kind != Job.Kind.REMAKE:
        return None
    pieces = may_be_meant(job).select_related("made_again")
    parcel = Parcel.objects.filter(remake=job).first()
    found = list(pieces.filter(pk=parcel.piece_id) if parcel is not None else pieces[:2])
    return found[0] if len(found) == 1 and not hasattr(found[0], "made_again") else None


def may_stand_in(job: Job, lost: Piece, piece: Piece | None = None) -> None:
    """Raises PlannerError where no board of ``job`` can stand in for ``lost``, or another than ``piece`` does."""
    if not may_be_meant(job).filter(pk=lost.pk).exists():
        raise PlannerError(f"{job.label} is no remake of {lost}.", mend="Choose a piece of the job it is about.",
                           field="instead_of")  # fmt: skip
    other = Piece.objects.filter(instead_of=lost).first()
    if other is not None and other != piece:
        raise PlannerError(f"{lost} was made again as {other}.", mend="Choose another, or none.", field="instead_of")


def fate_of(lost: Piece) -> str:
    """What became of a piece that another stands in for, in words that name nobody; "" where nothing is written. One
    query where it was sent, two where nothing went wrong on the way."""
    wrong = ParcelEvent.objects.filter(parcel__piece=lost, state__in=WRONG).select_related("parcel").first()
    if wrong is None:
        return lost.get_where_display() if lost.where in (Where.DAMAGED, Where.GONE) else ""
    sent = wrong.parcel.events.filter(state=Parcel.State.SENT).first()
    return f"{f'sent {day(sent.on)}, ' if sent else ''}{wrong.get_state_display()}"


@dataclass(frozen=True)
class StandIn:
    """A piece that went out in the place of another, and what it cost to make."""

    piece: Piece
    cost: Decimal


def went_instead(piece: Piece) -> list[StandIn]:
    """Those that went out in the place of a piece, one after another: a stand-in may be damaged too. Three queries for
    each, one where there is none."""
    found: list[StandIn] = []
    while (one := Piece.objects.filter(instead_of=piece).prefetch_related("costs").first()) is not None:
        if is_out_instead(one):
            found.append(StandIn(one, sum((line.amount for line in one.costs.all()), Decimal(0))))
        piece = one
    return found


def is_out_instead(piece: Piece) -> bool:
    """Whether a piece is with whoever the one before it was for. One query."""
    told = PieceEvent.objects.filter(piece=piece).exclude(where__in=(Where.SENT, Where.SOLD)).first()
    return told is not None and told.instead_of_id is not None
