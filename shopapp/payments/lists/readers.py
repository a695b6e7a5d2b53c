"""All invoices as a list, and everything that is owed with how long it has been due. Sums are added up here, to the
coin, from what the ledger holds; a fixed number of queries."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import Q, QuerySet

from shopapp.payments.balances import Balance, balances_of
from shopapp.payments.models import Account, AccountEvent, Invoice
from shopapp.payments.readers import Standing, standing_of

SHOWN = {
    "": "All of them",
    "open": "What is open",
    "overdue": "What is overdue",
    "paid": "What is paid",
    "back": "What is to be given back",
    "cancelled": "What is cancelled",
}
# Days after the day an invoice was to be paid by, as ages are told in the trade (common practice, no source).
AGES = (("not due yet", 0), ("1 to 30 days late", 30), ("31 to 60 days late", 60), ("61 to 90 days late", 90))
# How an invoice is spoken of, and a credit note, which leads to its invoice.
_NUMBER = re.compile(r"(?:([0-9]{4})-)?([0-9]{1,8})")
_CREDIT = re.compile(r"[Cc]([0-9]{4})-([0-9]{1,8})")
OLDEST = "more than 90 days late"


@dataclass(frozen=True)
class Line:
    """An invoice in the list."""

    balance: Balance
    state: str

    @property
    def invoice(self) -> Invoice:
        return self.balance.invoice


def years() -> list[int]:
    return list(Invoice.objects.order_by("-year").values_list("year", flat=True).distinct())


def invoices_asked(year: int | None, words: str) -> QuerySet[Invoice]:
    """The invoices of a year, or of all, that have every one of ``words`` in number, name or what they are for."""
    found = Invoice.objects.select_related("account").defer("letterhead", "words", "address", "account__lines")
    if year is not None:
        found = found.filter(year=year)
    for word in words.split()[:8]:
        named = Q(for_whom__icontains=word) | Q(account__label__icontains=word)
        if typed := _NUMBER.fullmatch(word):
            numbered = Q(number=int(typed[2]))
            named |= numbered & Q(year=int(typed[1])) if typed[1] else numbered
        if found_note := _CREDIT.fullmatch(word):
            named |= Q(credit_notes__year=int(found_note[1]), credit_notes__number=int(found_note[2]))
        found = found.filter(pk__in=Invoice.objects.filter(named).values("pk"))
    return found


def lines_of(invoices: QuerySet[Invoice], show: str, today: date) -> list[Line]:
    lines = [Line(balance, balance.state(today)) for balance in balances_of(invoices)]
    return [line for line in lines if _is_shown(line.balance, show, today)]


def _is_shown(balance: Balance, show: str, today: date) -> bool:
    return {
        "open": balance.open > 0,
        "overdue": balance.is_overdue(today),
        "paid": not balance.open and not balance.is_cancelled,
        "back": balance.to_give_back > 0,
        "cancelled": balance.is_cancelled,
    }.get(show, True)


@dataclass
class Owed:
    """What is owed to the shop in one currency: invoices that are open, by how late they are; what is agreed and not
    invoiced yet; and what is to be given back."""

    currency_symbol: str
    currency_exponent: int
    ages: dict[str, Decimal] = field(default_factory=lambda: dict.fromkeys([*(name for name, _ in AGES), OLDEST], 0))
    late: list[tuple[Balance, str]] = field(default_factory=list)
    agreed: list[tuple[Account, Decimal]] = field(default_factory=list)
    back: list[Standing] = field(default_factory=list)

    @property
    def invoiced(self) -> Decimal:
        return sum(self.ages.values(), Decimal(0))

    @property
    def not_invoiced(self) -> Decimal:
        return sum((amount for _, amount in self.agreed), Decimal(0))

    @property
    def to_give_back(self) -> Decimal:
        return sum((one.to_give_back for one in self.back), Decimal(0))

    @property
    def rows(self) -> list[tuple[str, Decimal]]:
        return list(self.ages.items())


def owed(today: date) -> list[Owed]:
    """Everything that is owed, a table for each currency the shop ever wrote in. Five queries."""
    newest = dict(AccountEvent.objects.order_by("pk").values_list("account", "kind"))
    of_account: dict[int, list[Balance]] = defaultdict(list)
    open_invoices = Invoice.objects.select_related("account").defer("letterhead", "words", "address").order_by("pk")
    for balance in balances_of(open_invoices):
        of_account[balance.invoice.account_id].append(balance)
    tables: dict[tuple[str, int], Owed] = {}
    for account in Account.objects.defer("lines").order_by("pk"):
        key = (account.currency_symbol, account.currency_exponent)
        table = tables.setdefault(key, Owed(*key))
        balances = of_account[account.pk]
        for balance in balances:
            if balance.open:
                age = age_of(balance, today)
                table.ages[age] += balance.open
                table.late.append((balance, age))
        stopped = newest.get(account.pk) == AccountEvent.Kind.STOPPED
        how = standing_of(account, tuple(balances), stopped=stopped)
        more = how.owed - sum((balance.asked for balance in balances), Decimal(0))
        if more > 0:
            table.agreed.append((account, more))
        if how.to_give_back:
            table.back.append(how)
    for table in tables.values():
        table.late.sort(key=lambda late: (late[0].invoice.due, late[0].invoice.pk))
    return [table for table in tables.values() if table.late or table.agreed or table.back]


def age_of(balance: Balance, today: date) -> str:
    late = (today - balance.invoice.due).days
    return next((name for name, most in AGES if late <= most), OLDEST)
