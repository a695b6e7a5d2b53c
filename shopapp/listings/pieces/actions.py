"""Finished pieces are numbered; where each is is written down."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.jobs.actions import DONE
from shopapp.jobs.models import Job
from shopapp.listings.costing.actions import write_costs
from shopapp.listings.models import Piece, PieceEvent
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only

from .facts import facts_of
from .instead import may_stand_in, stands_in_for

Spend = Callable[[], None]
Where = Piece.Where
# More boards than anybody numbers in one press.
MOST_AT_ONCE = 50


def boards_of(job: Job) -> int:
    """How many boards its plan makes; one where it has none."""
    return job.plan.record["spec"]["quantity"] if job.plan is not None else 1


def number_pieces(
    *, who: Member | None, job: Job, count: int | None = None, made_on: date | None = None, title: str = "",
    spares: str = "", instead_of: Callable[[Job], Piece | None] = stands_in_for, spend: Spend = lambda: None,
) -> list[Piece]:  # fmt: skip
    """Give boards of a finished job the next numbers, with what the job says of them today: ``count``, or as many as
    its plan makes and have none yet; the first stands in for ``instead_of``. Raises PlannerError where the job is not
    finished, or there is none left."""
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
        if job.state not in DONE:
            raise PlannerError(f"{job.label} is {job.get_state_display()}.", mend="Say that it is finished first.")
        if count is None:
            count = boards_of(job) - job.pieces.count()
        if count < 1:
            raise PlannerError(f"Every board of {job.label} has its number.", mend="Write how many more there are.",
                               field="count")  # fmt: skip
        if count > MOST_AT_ONCE:
            raise PlannerError("That is more than are numbered at once.", mend=f"Write {MOST_AT_ONCE} at most.",
                               field="count")  # fmt: skip
        newest = Piece.objects.select_for_update().order_by("-number").first()
        first = newest.number + 1 if newest else 1
        told, pieces, lost = facts_of(job), [], instead_of(job)
        if lost is not None:
            may_stand_in(job, lost)
        for number in range(first, first + count):
            piece = Piece.objects.create(
                number=number, job=job, title=title or job.label, made_on=made_on or timezone.localdate(), facts=told,
                spares=spares, instead_of=lost if number == first else None,
            )  # fmt: skip
            words = f"{piece.title} got its number, {number}."
            if piece.instead_of is not None:
                words = f"{words} It stands in for {piece.instead_of}."
            move_piece(who, piece, Where.HERE, on=piece.made_on, words=words)
            write_audit(who, words, piece)
            pieces.append(piece)
        write_costs(who=who, pieces=pieces)
    return pieces


def move_piece(
    who: Member | None, piece: Piece, where: str, *, on: date, words: str, plain: str = "",
    person: Person | None = None, **more,
) -> PieceEvent:  # fmt: skip
    """Write where a piece is from now on, inside the transaction of whoever moves it. ``plain`` is the sentence without
    money or names, where they differ; ``more`` goes to the event: channel, commission, back_by, fair, instead_of."""
    piece.where = where
    piece.save(update_fields=["where", "changed_at"])
    bump_version(piece)
    return PieceEvent.objects.create(
        piece=piece,
        who=who,
        where=where,
        on=on,
        person=person,
        to_whom=person.name if person else "",
        words=words[:400],
        plain_words=(plain or words)[:400],
        **more,
    )


def change_piece(
    *, who: Member | None, piece: Piece, title: str, spares: str, instead_of: Piece | None = None, seen_version: int,
    spend: Spend = lambda: None,
) -> Piece:  # fmt: skip
    """Another name, other spare tiles, another piece it stands in for; what its job said of it stays. Raises
    EditConflict; PlannerError where it cannot stand in for that piece, or went out in the place of one already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = Piece.objects.select_for_update(of=("self",)).select_related("job").get(pk=piece.pk)
        check_version(piece, seen_version)
        told = []
        if title != piece.title:
            told.append(f"{piece.title} is called {title} now.")
        if spares != piece.spares:
            told.append(f"Spare tiles of {title}: {spares or 'none'}.")
        if instead_of != piece.instead_of:
            if piece.events.exclude(instead_of=None).exists():
                raise PlannerError(f"{piece} went out in the place of another already.", mend="Say first that it came "
                                   "back.", field="instead_of")  # fmt: skip
            if instead_of is not None:
                may_stand_in(piece.job, instead_of, piece)
            told.append(f"{title} stands in for {instead_of or 'no other piece'}.")
        if told:
            piece.title, piece.spares, piece.instead_of = title, spares, instead_of
            piece.save(update_fields=["title", "spares", "instead_of", "changed_at"])
            bump_version(piece)
            write_audit(who, " ".join(told), piece)
    return piece
