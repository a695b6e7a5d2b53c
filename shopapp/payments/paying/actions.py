"""A payment written down, money given back, and an entry that was wrong taken back by another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.templatetags.shop import money
from shopapp.payments.actions import MoneyMoved
from shopapp.payments.invoices.actions import locked_balance
from shopapp.payments.models import Invoice, Payment
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

Spend = Callable[[], None]
How = Payment.How
# As it is read within a sentence.
HOW = {How.CASH: "in cash", How.TRANSFER: "by bank transfer", How.CARD: "by card", How.OTHER: "in another way"}


@dataclass(frozen=True)
class Paid:
    """``amount`` came in, or went back, on a day; ``more_is_meant`` where it may be more than is open."""

    on: date
    amount: Decimal
    how: str
    note: str = ""
    more_is_meant: bool = False


class MoreThanOwed(PlannerError):
    """More came in than is open; it is written down once somebody says that it is so."""


def pay(*, who: Member | None, invoice: Invoice, paid: Paid, spend: Spend = lambda: None) -> Payment:
    """Money came in for an invoice. Raises MoreThanOwed where that is more than is open and nobody said so."""
    owner_only(who)
    with transaction.atomic():
        spend()
        balance = locked_balance(invoice)
        over = paid.amount - balance.open
        if over > 0 and not paid.more_is_meant:
            raise MoreThanOwed(
                f"{money(balance.open, invoice)} is open of {invoice.named}; that is {money(over, invoice)} more.",
                mend="Mend the amount, or tick that so much came in.",
                field="amount",
            )
        words = f"{money(paid.amount, invoice)} was paid for {invoice.named} {HOW[paid.how]}."
        if over > 0:
            words += f" That is {money(over, invoice)} more than was open."
        return _write(who, invoice, paid.amount, paid, words)


def give_back(*, who: Member | None, invoice: Invoice, paid: Paid, spend: Spend = lambda: None) -> Payment:
    """Money went back to whoever paid it. Raises PlannerError where less was paid."""
    owner_only(who)
    with transaction.atomic():
        spend()
        balance = locked_balance(invoice)
        if paid.amount > balance.paid:
            raise PlannerError(
                f"{money(balance.paid, invoice)} was paid for {invoice.named}.",
                mend="No more than that can be given back.",
                field="amount",
            )
        words = f"{money(paid.amount, invoice)} of {invoice.named} was given back {HOW[paid.how]}."
        return _write(who, invoice, -paid.amount, paid, words)


def take_back(*, who: Member | None, payment: Payment, spend: Spend = lambda: None) -> Payment:
    """An entry was wrong: another of the opposite amount takes it back. Raises MoneyMoved where that was done already,
    or what it brought in was given back since."""
    owner_only(who)
    with transaction.atomic():
        spend()
        invoice = payment.invoice
        balance = locked_balance(invoice)
        if payment.takes_back_id is not None or Payment.objects.filter(takes_back=payment).exists():
            raise MoneyMoved("That entry is taken back already.", mend="Write down what is right.")
        if balance.paid < payment.amount:
            raise MoneyMoved(
                f"Of that, {money(payment.amount - balance.paid, invoice)} was given back since.",
                mend="Take that entry back first.",
            )
        what = "payment" if payment.amount > 0 else "giving back"
        words = f"The {what} of {money(abs(payment.amount), invoice)} for {invoice.named} was taken back: it was wrong."
        undone = Paid(timezone.localdate(), -payment.amount, payment.how)
        return _write(who, invoice, -payment.amount, undone, words, takes_back=payment)


def _write(
    who: Member | None, invoice: Invoice, amount: Decimal, paid: Paid, words: str, takes_back: Payment | None = None
) -> Payment:
    payment = Payment.objects.create(
        invoice=invoice, on=paid.on, amount=amount, how=paid.how, note=paid.note, takes_back=takes_back, who=who
    )
    write_audit(who, words, invoice)
    return payment
