"""Money at Reedbank Workshop: a deposit paid in two parts, and an invoice that waits. Everything is invented."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from shopapp.payments.deals import DealLine
from shopapp.payments.invoices.actions import issue_invoice
from shopapp.payments.invoices.drafts import DUE_DAYS, Draft, first_lines
from shopapp.payments.models import Account, Invoice, Payment
from shopapp.payments.paying.actions import Paid, pay
from shopapp.payments.sales.actions import Sale, write_sale
from shopapp.people.models import Member

from .demo_people import somebody_called


def fill_money(who: Member) -> None:
    """The accepted commission's deposit, and two trivets sold at the gate."""
    # All of this year, however early in it the demo is filled; numbers follow the days.
    today = timezone.localdate()
    first, then = (max(today - timedelta(days=days), today.replace(month=1, day=1)) for days in (20, 5))
    lines = (DealLine("Trivet with a teasel", 2, Decimal("38.00")), DealLine("Carriage", 1, Decimal("6.50")))
    trivets = write_sale(who=who, sale=Sale(somebody_called("Ebb Harrow"), "Two trivets", lines, Fraction(0)))
    _invoice(who, trivets, Invoice.Kind.WHOLE, first)
    commission = Account.objects.filter(key__startswith="quote ").earliest("pk")
    deposit = _invoice(who, commission, Invoice.Kind.DEPOSIT, then)
    part = Decimal("50.00")
    pay(who=who, invoice=deposit, paid=Paid(then, part, Payment.How.CASH, "On the quay."))
    pay(who=who, invoice=deposit, paid=Paid(then, deposit.gross - part, Payment.How.TRANSFER))


def _invoice(who: Member, account: Account, kind: str, dated: date) -> Invoice:
    words = "Thank you for asking for a board of ours."
    draft = Draft(
        kind,
        account.for_whom,
        account.person.address,
        dated,
        dated + timedelta(days=DUE_DAYS),
        words,
        first_lines(account, kind),
    )
    return issue_invoice(who=who, owed=account, draft=draft)
