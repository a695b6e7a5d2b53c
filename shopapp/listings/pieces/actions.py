"""Finished pieces are numbered; where each is is written down."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from shopapp.jobs.models import Job
from shopapp.listings.models import Piece, PieceEvent
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only


def number_piece(*, who: Member | None, job: Job, title: str, made_on: date) -> Piece:
    """Give a finished piece of a job the next number. The job's row is held by whoever calls, inside a transaction."""
    owner_only(who)
    with transaction.atomic():
        newest = Piece.objects.select_for_update().order_by("-number").first()
        piece = Piece.objects.create(number=newest.number + 1 if newest else 1, job=job, title=title, made_on=made_on)
        told = f"{title} got its number, {piece.number}."
        move_piece(who, piece, Piece.Where.HERE, on=made_on, words=told)
    return piece


def move_piece(
    who: Member | None, piece: Piece, where: str, *, on: date, words: str, plain: str = "",
    person: Person | None = None, **more,
) -> PieceEvent:  # fmt: skip
    """Write where a piece is from now on, inside the transaction of whoever moves it. ``plain`` is the sentence without
    money or names, where they differ; ``more`` goes to the event: channel, commission, back_by, fair."""
    piece.where = where
    piece.save(update_fields=["where", "changed_at"])
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
