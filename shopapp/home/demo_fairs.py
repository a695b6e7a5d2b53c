"""Fairs of Reedbank Workshop: one that is over, with what sold there and what it cost, and one that is packed for. All
of it is invented."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.done.open import open_of
from shopapp.jobs.models import Job
from shopapp.listings.actions import ListingFacts, list_piece
from shopapp.listings.cards.actions import Asked, ask_for_paper, write_words
from shopapp.listings.fairs.actions import FairFacts, bring_home, pack, plan_fair, write_expense, write_hours
from shopapp.listings.fairs.sending import Sent, write
from shopapp.listings.models import Fair, Piece
from shopapp.listings.pieces.actions import number_pieces
from shopapp.people.models import Member
from shopapp.plans.models import Plan

CARD = {
    "maker": "",
    "address": "",
    "warnings": "Not for children under three: no toy.",
    "words": "Thank you for taking a board of ours home. Tell us how it wears.",
    "link": "",
}
HOUR = Decimal(22)


def fill_fairs(who: Member) -> None:
    today = timezone.localdate()
    over, coming = today - timedelta(days=19), today + timedelta(days=12)
    first, second, *rest = _made(who, "Kingfisher for the fairs", 4, days=30)
    quay = plan_fair(who=who, facts=FairFacts("Quay day", "Reedbank", over, over, HOUR))
    pack(who=who, fair=quay, pieces=[first, second, *rest], on=over - timedelta(days=1))
    _sold(who, quay, first, "96", "quayday1", 11)
    _sold(who, quay, second, "88", "quayday2", 15)
    bring_home(who=who, fair=quay, on=over)
    for kind, amount, words in (
        ("stall", "35.00", "A pitch by the slipway"),
        ("travel", "6.50", "The ferry, both ways"),
    ):
        write_expense(who=who, fair=quay, kind=kind, amount=Decimal(amount), on=over, words=words)
    write_hours(who=who, fair=quay, on=over, minutes=330)
    market = plan_fair(who=who, facts=FairFacts("Lantern market", "Saltings", coming, coming + timedelta(days=1), HOUR))
    for piece in rest:
        facts = ListingFacts("Kingfisher", "One of four made for the fairs.", Decimal("98.00"))
        list_piece(who=who, job=piece.job, piece=piece, facts=facts)
    pack(who=who, fair=market, pieces=rest)
    write_expense(
        who=who,
        fair=market,
        kind="stall",
        amount=Decimal("60.00"),
        on=today - timedelta(days=4),
        words="Two days of a stall",
    )
    write_words(who=who, facts=CARD, seen_version=1)
    ask_for_paper(who=who, pieces=rest[:1], asked=Asked("care", "a6", "http://reedbank.example"))


def _made(who: Member, label: str, count: int, *, days: int) -> list[Piece]:
    """Boards of the kingfisher that were made so many days ago, each with its number."""
    plan = Plan.objects.filter(design__name="Kingfisher").earliest("pk")
    job = make_job(who=who, facts=JobFacts(label, Job.Kind.SALE, plan=plan))
    for state in (Job.State.UNDER_WAY, Job.State.FINISHED):
        job.refresh_from_db()
        read = open_of(job, who).seen if state == Job.State.FINISHED else ""
        move_job(who=who, job=job, state=state, seen_version=job.edit_version, with_open=read)
    made_on = timezone.localdate() - timedelta(days=days)
    return number_pieces(who=who, job=job, count=count, made_on=made_on, title="Kingfisher")


def _sold(who: Member, fair: Fair, piece: Piece, price: str, key: str, hour: int) -> None:
    """As a phone sends it that was at the stall."""
    at = timezone.make_aware(datetime.combine(fair.first, time(hour)))
    write(who=who, sent=Sent("sale", fair, key, at, piece, Decimal(price)))
