"""An expense, or a part given back of a sale, was written down wrongly: its opposite is written beside it, with why,
and what it was instead. Nothing is changed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.templatetags.shop import money
from shopapp.listings.models import Expense, Fair, Piece, SaleChange
from shopapp.listings.pieces.actions import move_piece
from shopapp.listings.selling.actions import hold_piece
from shopapp.listings.selling.ending import give_back
from shopapp.listings.telling import ListingMoved
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .readers import AGAIN, refused

Spend = Callable[[], None]


def mend_expense(
    *, who: Member | None, expense: Expense, why: str, on: date, instead: Decimal | None = None,
    spend: Spend = lambda: None,
) -> Expense:  # fmt: skip
    """``expense`` is taken back, and ``instead`` written in its place; nothing where it was not paid at all. Both count
    on the day ``on``. Returns what takes it back; raises ListingMoved where that was done already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        # Who mends the same at the same time waits here, and finds it done.
        row = Expense.objects.select_for_update(of=("self",)).select_related("piece", "fair", "sale")
        expense = row.get(pk=expense.pk)
        _may(expense, on)
        about = {
            "kind": expense.kind, "on": on, "currency_symbol": expense.currency_symbol, "piece": expense.piece,
            "currency_exponent": expense.currency_exponent, "sale": expense.sale, "fair": expense.fair,
            "channel_id": expense.channel_id, "who": who,
        }  # fmt: skip
        back = Expense.objects.create(
            amount=-expense.amount, words=f"Back: {expense.words}"[:200], why=why, undoes=expense, **about
        )
        said = f"{expense.words}, {money(expense.amount, expense)}, was taken back: {why}"
        if instead:
            key = f"{expense.key.split(AGAIN)[0]}{AGAIN}{expense.pk}" if expense.key else ""
            Expense.objects.create(amount=instead, words=expense.words, key=key, **about)
            said = f"{expense.words} was {money(instead, expense)}, not {money(expense.amount, expense)}: {why}"
        about_whom: Piece | Fair | Expense = expense.piece or expense.fair or expense
        write_audit(who, said[:400], about_whom)
    return back


def mend_given_back(
    *, who: Member | None, change: SaleChange, why: str, on: date, instead: Decimal | None = None,
    spend: Spend = lambda: None,
) -> SaleChange:  # fmt: skip
    """The same of a part that was given back of a sale."""
    owner_only(who)
    with transaction.atomic():
        spend()
        sale = SaleChange.objects.select_related("sale__piece").get(pk=change.pk).sale
        piece = hold_piece(sale.piece)
        change = SaleChange.objects.select_for_update(of=("self",)).get(pk=change.pk)
        change.sale = sale
        _may(change, on)
        back = SaleChange.objects.create(
            sale=sale, kind=change.kind, on=on, back=-change.back, back_tax=-change.back_tax, words=why, undoes=change,
            who=who,
        )  # fmt: skip
        said = f"{money(change.back, sale)} of the price of {piece} was not given back: {why}"
        plain = f"What was given back of {piece} was written down wrongly."
        move_piece(who, piece, piece.where, on=on, words=said, plain=plain)
        write_audit(who, said[:400], piece)
        if instead:
            give_back(who, piece, sale, on, instead, why)
    return back


def _may(row: Expense | SaleChange, on: date) -> None:
    if words := refused(row):
        raise ListingMoved(words, mend="Look at it as it is now.")
    if on < row.on:
        raise PlannerError("It was written down for a later day.", mend="Choose its own day, or one since.", field="on")
