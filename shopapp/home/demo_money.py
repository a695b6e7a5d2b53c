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
    # Both of one day of this year, however early in it the demo is filled.
    today = timezone.localdate()
    dated = max(today - timedelta(days=20), today.replace(month=1, day=1))
    board = DealLine("Otter, a board for the wall", 1, Decimal("310.00"))
    otter = Sale(somebody_called("Ebb Harrow"), "Otter on the landing", (board,), Fraction(1, 2))
    invoice = _invoice(who, write_sale(who=who, sale=otter), Invoice.Kind.DEPOSIT, dated)
    for amount, how, note in (("100.00", Payment.How.CASH, "On the quay."), ("55.00", Payment.How.TRANSFER, "")):
        pay(who=who, invoice=invoice, paid=Paid(dated, Decimal(amount), how, note))
    lines = (DealLine("Trivet with a teasel", 2, Decimal("38.00")), DealLine("Carriage", 1, Decimal("6.50")))
    trivets = write_sale(who=who, sale=Sale("Tamsin Reave", "Two trivets", lines, Fraction(0)))
    _invoice(who, trivets, Invoice.Kind.WHOLE, dated)


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
