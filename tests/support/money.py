"""Deals to test the money ledger with: what was agreed by whoever, invoices and payments."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from shopapp.payments.actions import expect
from shopapp.payments.deals import Deal, DealLine
from shopapp.payments.invoices.actions import Credit, credit_invoice, issue_invoice
from shopapp.payments.invoices.drafts import Draft, first_lines
from shopapp.payments.models import Account, CreditNote, Invoice, Payment
from shopapp.payments.paying.actions import Paid, pay

# The pages of the ledger, filled by ``a_ledger``, and what of it is answered with a file or a part of a page.
MONEY_PAGES = [
    "/payments/",
    "/payments/?show=open&words=x",
    "/payments/owed/",
    "/payments/owed/{account_pk}/",
    "/payments/sale/",
    "/payments/new/?for={asks_for}",
    "/payments/{payments}/",
    "/payments/{rest}/",
    "/payments/{payments}/pay/",
    "/payments/{payments}/give-back/",
    "/payments/{payments}/credit/",
    "/payments/credit/{credit_pk}/",
]
MONEY_FILES = {
    "payments:credit_paper_state",
    "payments:credit_pdf",
    "payments:invoices_csv",
    "payments:paper_state",
    "payments:payments_csv",
    "payments:pdf",
}


def deal(**changes) -> Deal:
    """Two boards at 379.00 with carriage of 14.00, 20 % tax held in it, half of it first."""
    return Deal(
        **{
            "key": "quote 12",
            "label": "Quote 2026-012: Heron",
            "person": None,
            "for_whom": "Wren Attwater",
            "lines": (DealLine("Heron, a board for the wall", 2, Decimal("379.00")),),
            "carriage": Decimal("14.00"),
            "tax": Fraction(20, 100),
            "tax_included": True,
            "currency_symbol": "€",
            "currency_exponent": 2,
            "deposit": Fraction(1, 2),
            "home": "/quotes/12/",
            **changes,
        }
    )


def draft(account: Account, kind: str = "whole", **changes) -> Draft:
    """An invoice as its page begins with, dated today."""
    today = timezone.localdate()
    return Draft(
        **{
            "kind": kind,
            "for_whom": account.for_whom,
            "address": "3 Quay Row\nReedbank",
            "dated": today,
            "due": today + timedelta(days=14),
            "words": "Thank you.",
            "lines": first_lines(account, kind),
            **changes,
        }
    )


def invoiced(who, account: Account, kind: str = "whole", **changes) -> Invoice:
    return issue_invoice(who=who, owed=account, draft=draft(account, kind, **changes))


def paid(who, invoice: Invoice, amount: str, **changes) -> Payment:
    facts = {"on": timezone.localdate(), "amount": Decimal(amount), "how": "transfer", **changes}
    return pay(who=who, invoice=invoice, paid=Paid(**facts))


def credited(who, invoice: Invoice, amount: str, reason: str = "It was too much.", **changes) -> CreditNote:
    facts = {"dated": timezone.localdate(), "amount": Decimal(amount), "reason": reason, **changes}
    return credit_invoice(who=who, invoice=invoice, credit=Credit(**facts))


def a_ledger(who, key: str = "sale 1b") -> dict[str, object]:
    """A deposit invoice paid and credited in part, the rest of it, and a sale that waits for its invoice; how each
    parameter of the ledger's addresses is filled."""
    account = expect(who, deal(key=key, label=f"Heron, {key}"))
    deposit = invoiced(who, account, "deposit")
    entry = paid(who, deposit, "200")
    note = credited(who, deposit, "10")
    rest = invoiced(who, account, "rest")
    waits = expect(who, deal(key=f"{key}c", label=f"Otter, {key}", deposit=Fraction(0)))
    return {
        "payments": deposit.pk,
        "rest": rest.pk,
        "payment_pk": entry.pk,
        "credit_pk": note.pk,
        "account_pk": account.pk,
        "asks_for": waits.asks_for,
        "year": deposit.year,
    }


def more_paid(who, ledger: dict[str, object], times: int) -> None:
    """A few more small payments and credits of the same invoice."""
    deposit = Invoice.objects.get(pk=ledger["payments"])
    for _ in range(times):
        paid(who, deposit, "1")
        credited(who, deposit, "1")
