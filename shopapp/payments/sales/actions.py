"""A sale written down by hand, called off and taken up again."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db import transaction

from planner.errors import PlannerError
from shopapp.payments.actions import MoneyMoved, expect, expect_again, is_stopped, stop_expecting
from shopapp.payments.deals import Deal, DealLine
from shopapp.payments.invoices.actions import lock
from shopapp.payments.models import Account
from shopapp.people.choosing import person_of
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

Spend = Callable[[], None]
BY_HAND = "sale "


@dataclass(frozen=True)
class Sale:
    """What was sold: to somebody of the book or a new name, in lines, ``deposit`` of it asked first."""

    person: Person | str
    label: str
    lines: tuple[DealLine, ...]
    deposit: Fraction


def write_sale(*, who: Member | None, sale: Sale, spend: Spend = lambda: None) -> Account:
    """Money is owed for a sale from now on, in the shop's currency and with its tax as the settings have them today.
    Raises PlannerError where it comes to nothing."""
    owner_only(who)
    with transaction.atomic():
        spend()
        shop, person = the_workshop(), person_of(who, sale.person)
        deal = Deal(
            # A sale by hand stands in no other part of the book, so its key names nothing but itself.
            key=f"{BY_HAND}{secrets.token_hex(8)}",
            label=sale.label,
            person=person,
            for_whom=person.name,
            lines=sale.lines,
            carriage=Decimal(0),
            tax=shop.tax,
            tax_included=shop.tax_included,
            currency_symbol=shop.currency_symbol,
            currency_exponent=shop.currency_exponent,
            deposit=sale.deposit,
            home="",
        )
        account = expect(who, deal)
        if not account.gross:
            raise PlannerError("It comes to nothing: a gift needs no invoice.", mend="Write what is paid for it.")
    return account


def call_off(*, who: Member | None, account: Account, on: bool, spend: Spend = lambda: None) -> None:
    """A sale by hand is called off, or is on again (``on``). What a quote or a listing agreed is called off there."""
    owner_only(who)
    with transaction.atomic():
        spend()
        account = lock(account)
        if not account.key.startswith(BY_HAND):
            raise PlannerError("That was not written by hand.", mend="Call it off where it was agreed.")
        if is_stopped(account) is not on:
            raise MoneyMoved("That is done already.", mend="Look at it as it is now.")
        if on:
            expect_again(who, account)
        else:
            stop_expecting(who, account.key, f"{account.label} was called off.")
