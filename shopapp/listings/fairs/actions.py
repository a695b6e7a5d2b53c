"""A fair planned and changed, its costs and hours written down, pieces packed for it and brought home."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.templatetags.shop import money
from shopapp.jobs.words import day
from shopapp.listings.models import Expense, Fair, FairHours, Piece
from shopapp.listings.pieces.actions import move_piece
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from .readers import hours_by_day, there

Spend = Callable[[], None]
Where = Piece.Where
A_DAY = 24 * 60


@dataclass(frozen=True)
class FairFacts:
    """What is known of a fair before it begins; ``hour`` is what an hour there is reckoned at."""

    name: str
    town: str
    first: date
    last: date
    hour: Decimal


class NotThere(PlannerError):
    """A piece is not where the page that was open thought."""


def plan_fair(*, who: Member | None, facts: FairFacts, spend: Spend = lambda: None) -> Fair:
    owner_only(who)
    with transaction.atomic():
        spend()
        fair = Fair.objects.create(**asdict(facts))
        write_audit(who, f"{fair} was planned, for {days_said(fair)}.", fair)
    return fair


def days_said(fair: Fair) -> str:
    return day(fair.first) if fair.first == fair.last else f"{day(fair.first)} to {day(fair.last)}"


def change_fair(
    *, who: Member | None, fair: Fair, facts: FairFacts, seen_version: int, spend: Spend = lambda: None
) -> Fair:
    """Raises EditConflict; PlannerError where hours are written down of a day that it would not have any more."""
    owner_only(who)
    with transaction.atomic():
        spend()
        fair = _held(fair)
        check_version(fair, seen_version)
        outside = [on for on, minutes in hours_by_day(fair).items() if minutes and not facts.first <= on <= facts.last]
        if outside:
            raise PlannerError(f"Hours of {day(outside[0])} are written down.", mend="Write none on that day first.",
                               field="first")  # fmt: skip
        for name, value in asdict(facts).items():
            setattr(fair, name, value)
        fair.save()
        bump_version(fair)
        write_audit(who, f"{fair} was changed.", fair)
    return fair


def write_expense(
    *, who: Member | None, fair: Fair, kind: str, amount: Decimal, on: date, words: str = "",
    spend: Spend = lambda: None,
) -> Expense:  # fmt: skip
    """What the fair cost besides hours: the stall, the way there, whatever else."""
    owner_only(who)
    if amount <= 0:
        raise PlannerError("That costs nothing.", mend="Write what was paid.", field="amount")
    shop = the_workshop()
    with transaction.atomic():
        spend()
        said = words or f"{Expense.Kind(kind).label.capitalize()}, {fair}"
        expense = Expense.objects.create(
            kind=kind, on=on, amount=amount, currency_symbol=shop.currency_symbol,
            currency_exponent=shop.currency_exponent, words=said[:200], fair=fair, who=who,
        )  # fmt: skip
        write_audit(who, f"{fair}: {expense.words}, {money(amount, shop)}.", fair)
    return expense


def write_hours(
    *, who: Member | None, fair: Fair, on: date, minutes: int, spend: Spend = lambda: None
) -> FairHours | None:
    """How long somebody stood there on a day of it; what was written of that day before counts no more."""
    owner_only(who)
    if minutes > A_DAY:
        raise PlannerError("A day has 24 hours.", mend="Write those of this day alone.", field="hours")
    with transaction.atomic():
        spend()
        fair = _held(fair)
        if not fair.first <= on <= fair.last:
            raise PlannerError(f"{fair} is on {days_said(fair)}.", mend="Choose a day of it.", field="day")
        by_day = hours_by_day(fair)
        if by_day.get(on, 0) == minutes:
            return None
        written = FairHours.objects.create(fair=fair, on=on, minutes=minutes, who=who)
        fair.minutes = sum({**by_day, on: minutes}.values())
        fair.save(update_fields=["minutes", "changed_at"])
        bump_version(fair)
        write_audit(who, f"{fair}, {day(on)}: {minutes} minutes there.", fair)
    return written


def pack(
    *, who: Member | None, fair: Fair, pieces: Sequence[Piece], on: date | None = None, spend: Spend = lambda: None
) -> int:
    """Pieces go to the fair, today or on another day: all that are named, or none. Raises NotThere naming the first
    that is not here."""
    owner_only(who)
    if not pieces:
        raise PlannerError("No piece is ticked.", mend="Tick at least one.")
    with transaction.atomic():
        spend()
        fair, on = _held(fair), on or timezone.localdate()
        held = Piece.objects.select_for_update(of=("self",)).filter(pk__in=[piece.pk for piece in pieces])
        for piece in held.order_by("number"):
            if piece.where != Where.HERE or piece.sale_id is not None:
                raise NotThere(f"{piece} is {piece.get_where_display()}.", mend="Look at the list as it is now.")
            move_piece(who, piece, Where.FAIR, on=on, words=f"{piece} was packed for {fair}.", fair=fair)
        many = len(pieces)
        write_audit(who, f"{many} piece{'s' * (many != 1)} {'were' if many != 1 else 'was'} packed for {fair}.", fair)
    return many


def bring_home(
    *, who: Member | None, fair: Fair, piece: Piece | None = None, on: date | None = None,
    spend: Spend = lambda: None,
) -> list[Piece]:  # fmt: skip
    """What is still at the fair is here again: all of it, or one piece."""
    owner_only(who)
    with transaction.atomic():
        spend()
        fair, on = _held(fair), on or timezone.localdate()
        rows = Piece.objects.select_for_update(of=("self",)).filter(pk__in=there(fair).values("pk")).order_by("number")
        back = list(rows.filter(pk=piece.pk) if piece is not None else rows)
        if not back:
            raise NotThere(f"Nothing of that is at {fair} any more.", mend="Look at it as it is now.")
        for one in back:
            move_piece(who, one, Where.HERE, on=on, words=f"{one} came home from {fair}.", fair=fair)
        write_audit(who, f"{len(back)} came home from {fair}.", fair)
    return back


def _held(fair: Fair) -> Fair:
    return Fair.objects.select_for_update().get(pk=fair.pk)
