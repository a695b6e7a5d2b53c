"""What an invoice may be now, and what it begins with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from planner.errors import PlannerError
from shopapp.common.templatetags.shop import money, percent
from shopapp.payments.balances import Balance
from shopapp.payments.deals import DealLine
from shopapp.payments.models import Account, CreditNote, Invoice, TakenOff
from shopapp.payments.planning import Sums, sums_of_credit, sums_of_invoice

Kind = Invoice.Kind
# How long whoever gets an invoice has to pay it, unless the maker writes another day (common practice, no source).
DUE_DAYS = 14


@dataclass(frozen=True)
class Draft:
    """An invoice as it is written; of a deposit invoice the one line holds its tax."""

    kind: str
    for_whom: str
    address: str
    dated: date
    due: date
    words: str
    lines: tuple[DealLine, ...]


class NotNow(PlannerError):
    """An invoice of that kind cannot be written as things stand."""


def kinds_open(account: Account, invoices: Sequence[Balance], *, stopped: bool) -> list[str]:
    """Which invoices can be written now, likeliest first. Raises NotNow, saying why, where none can."""
    standing = [one for one in invoices if not one.is_cancelled]
    for one in standing:
        if one.invoice.kind != Kind.DEPOSIT:
            raise NotNow(f"{one.invoice} is for all of it.", mend="Where it is wrong, credit it first.")
    if stopped:
        raise NotNow(f"{account.label} was called off; nothing more is owed for it.")
    if standing:
        return [Kind.REST]
    # A deposit of everything is an invoice for everything.
    asks_first = 0 < account.deposit < account.gross
    return [Kind.DEPOSIT, Kind.WHOLE] if asks_first else [Kind.WHOLE, Kind.DEPOSIT]


def taken_off(invoices: Sequence[Balance]) -> list[tuple[Balance, Sums]]:
    """What an invoice for the rest takes off: deposit invoices, each less what was credited of it."""
    return [(one, left_of(one)) for one in invoices if one.invoice.kind == Kind.DEPOSIT and not one.is_cancelled]


def left_of(balance: Balance) -> Sums:
    """An invoice less what was credited of it."""
    invoice = balance.invoice
    whole = sums_of(invoice)
    if not balance.credited:
        return whole
    gone = sums_of_credit(whole, Decimal(0), balance.credited, invoice.currency_exponent)
    return Sums(whole.net - gone.net, whole.tax - gone.tax, whole.gross - gone.gross)


def sums_of(row: Invoice | TakenOff | CreditNote) -> Sums:
    return Sums(row.net, row.tax_sum, row.gross)


def tax_is_held(account: Account, kind: str) -> bool:
    """Whether the prices of an invoice's lines hold their tax: a deposit's always does."""
    return account.tax_included or kind == Kind.DEPOSIT


def sums_of_draft(account: Account, draft: Draft, invoices: Sequence[Balance]) -> Sums:
    """What a draft comes to. Raises PlannerError where it comes to nothing, or a deposit is all there is to pay."""
    taken = [sums for _, sums in taken_off(invoices)] if draft.kind == Kind.REST else []
    held = tax_is_held(account, draft.kind)
    sums = sums_of_invoice(draft.lines, account.tax, held, account.currency_exponent, taken)
    if draft.kind == Kind.DEPOSIT and sums.gross >= account.gross:
        raise PlannerError(
            f"{money(sums.gross, account)} is no less than all of it, {money(account.gross, account)}.",
            mend="Write an invoice for all of it instead.",
        )
    return sums


def first_lines(account: Account, kind: str) -> tuple[DealLine, ...]:
    """The lines a draft begins with: what was agreed, or the deposit that was."""
    if kind == Kind.DEPOSIT:
        share = f" of {percent(account.deposit_share)}" if account.deposit_share else ""
        return (DealLine(f"Deposit{share}: {account.label}"[:200], 1, account.deposit),)
    carriage = (DealLine("Carriage", 1, account.carriage),) if account.carriage else ()
    return account.agreed + carriage
