"""What the money ledger holds of a person. Papers about money stay with the name on them for as long as the shop's
settings say; after that the sums stay, and the name, the address, the notes and the papers go."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils import timezone

from planner.measures import round_half_up
from shopapp.common.erasing import strike_audit, struck, take_away
from shopapp.common.templatetags.shop import money
from shopapp.people.book import Happening, register
from shopapp.people.models import Person
from shopapp.workshop.readers import the_workshop

from .models import Account, AccountEvent, CreditNote, Invoice, InvoiceLine, Payment

EXPLAINS = {
    "owed": "What money was or is owed for, oldest first.",
    "label": "What it is called.",
    "for_whom": "The name it was written for.",
    "agreed": "What was agreed, line by line: words, how many, what one costs.",
    "in_all": "All that is to be paid, in the currency beside it.",
    "currency": "The sign of the currency.",
    "story": "What was told of it, each with its day.",
    "invoices": "Every invoice of it as it was issued.",
    "number": "The number on the paper.",
    "dated": "The day on the paper.",
    "to_be_paid_by": "The day it was to be paid by.",
    "lines": "What the paper is for: words, how many, what they come to.",
    "words": "What else the paper says.",
    "tax": "The tax in it.",
    "credit_notes": "Every credit note of the invoice.",
    "payments": "Every entry of money that came in or went back (below nought).",
    "address": "The address on the paper.",
    "paper_sha256": "The SHA-256 of the paper’s file.",
}


def history(person: Person) -> list[Happening]:
    told = []
    for account in _accounts(person):
        told.append(Happening(account.made_at, f"{account.label} was agreed.", account.get_absolute_url()))
        for invoice in account.invoices.all():
            words = f"{invoice} was issued, {money(invoice.gross, invoice)}."
            told.append(Happening(invoice.made_at, words, invoice.get_absolute_url()))
            for note in invoice.credit_notes.all():
                words = f"{note} was issued, {money(note.gross, invoice)}."
                told.append(Happening(note.made_at, words, note.get_absolute_url()))
            for entry in invoice.payments.all():
                what = "was paid" if entry.amount > 0 else "was given back or taken back"
                words = f"{money(abs(entry.amount), invoice)} {what} for {invoice.named}."
                told.append(Happening(entry.at, words, invoice.get_absolute_url()))
    return told


def out(person: Person) -> dict[str, Any]:
    owed = [_account_out(account) for account in _accounts(person) if not _is_forgotten(account, person)]
    return {"owed": owed} if owed else {}


def _account_out(account: Account) -> dict[str, Any]:
    return {
        "label": account.label,
        "for_whom": account.for_whom,
        "agreed": [[line.words, line.count, str(line.each)] for line in account.agreed],
        "in_all": _sum(account.gross, account),
        "currency": account.currency_symbol,
        "story": [[event.at.date().isoformat(), event.words] for event in reversed(account.events.all())],
        "invoices": [_invoice_out(invoice) for invoice in account.invoices.all()],
    }


def _invoice_out(invoice: Invoice) -> dict[str, Any]:
    return {
        **_paper_out(invoice, invoice),
        "to_be_paid_by": invoice.due.isoformat(),
        "lines": [[line.words, line.count, _sum(line.amount, invoice)] for line in invoice.lines.all()],
        "credit_notes": [_paper_out(note, invoice) for note in invoice.credit_notes.all()],
        "payments": [
            [entry.on.isoformat(), _sum(entry.amount, invoice), entry.how, entry.note]
            for entry in invoice.payments.all()
        ],
    }


def _paper_out(row: Invoice | CreditNote, invoice: Invoice) -> dict[str, str]:
    paper = getattr(row, "paper", None)
    return {
        "number": row.reference,
        "for_whom": row.for_whom,
        "address": row.address,
        "dated": row.dated.isoformat(),
        "words": row.words,
        "tax": _sum(row.tax_sum, invoice),
        "in_all": _sum(row.gross, invoice),
        "paper_sha256": paper.document.sha256 if paper is not None and paper.document_id else "",
    }


def _sum(amount: Decimal, shop: Account | Invoice) -> str:
    return str(round_half_up(amount, shop.currency_exponent))


def keeps(person: Person) -> str:
    years, today = the_workshop().keep_years, timezone.localdate()
    kept = [account for account in _accounts(person) if _is_kept(account, years, today)]
    if not kept:
        return ""
    papers = sum(1 for account in kept for _ in _papers_of(account))
    last = max(day for account in kept for day in _days_of(account)).year + years
    return (
        f"{_counted(papers, 'paper')} about money, with the name and the address on "
        f"{'it' if papers == 1 else 'them'}, until the end of {last}: the workshop’s settings keep such papers for "
        f"{_counted(years, 'year')}."
    )


def goes(person: Person) -> list[str]:
    return _told(_to_forget(person))


def forget(person: Person, instead: str) -> list[str]:
    going = _to_forget(person)
    names = {person.name, *(name for account in going for name in _names_of(account))} - {"", instead}
    for account in going:
        _forget_account(account, names, instead)
    rows = [row for account in going for row in (account, *_papers_of(account))]
    strike_audit(rows, names, instead)
    take_away(
        paper.document
        for row in rows
        if (paper := getattr(row, "paper", None)) is not None and paper.document_id is not None
    )
    return _told(going)


def _forget_account(account: Account, names: set[str], instead: str) -> None:
    lines = [[struck(line.words, names, instead), line.count, str(line.each)] for line in account.agreed]
    Account.objects.filter(pk=account.pk).update(
        for_whom=instead,
        label=struck(account.label, names, instead)[:160],
        lines=json.dumps(lines, ensure_ascii=False),
    )
    for event in account.events.all():
        _strike(AccountEvent, event, names, instead)
    for invoice in account.invoices.all():
        Invoice.objects.filter(pk=invoice.pk).update(for_whom=instead, address="")
        Payment.objects.filter(invoice=invoice).exclude(note="").update(note="")
        for row in (invoice, *invoice.credit_notes.all(), *invoice.lines.all()):
            _strike(type(row), row, names, instead)
        CreditNote.objects.filter(invoice=invoice).update(for_whom=instead, address="")


def _strike(model: type, row: AccountEvent | Invoice | CreditNote | InvoiceLine, names: set[str], instead: str) -> None:
    words = struck(row.words, names, instead)[: model._meta.get_field("words").max_length]
    if words != row.words:
        model.objects.filter(pk=row.pk).update(words=words)


def _accounts(person: Person) -> list[Account]:
    """What is owed by a person with everything written of it, oldest first; a fixed number of queries."""
    related = (
        "events", "invoices__lines", "invoices__payments", "invoices__paper__document",
        "invoices__credit_notes__paper__document",
    )  # fmt: skip
    return list(Account.objects.filter(person=person).order_by("pk").prefetch_related(*related))


def _to_forget(person: Person) -> list[Account]:
    years, today = the_workshop().keep_years, timezone.localdate()
    return [
        account
        for account in _accounts(person)
        if not _is_kept(account, years, today) and not _is_forgotten(account, person)
    ]


def _is_forgotten(account: Account, person: Person) -> bool:
    return person.erased_at is not None and account.for_whom == str(person)


def _is_kept(account: Account, years: int, today: date) -> bool:
    """Whether a paper about money, or an entry of it, is of a year that is kept still."""
    return any(today.year <= day.year + years for day in _days_of(account))


def _days_of(account: Account) -> list[date]:
    papers = [row.dated for row in _papers_of(account)]
    return papers + [entry.on for invoice in account.invoices.all() for entry in invoice.payments.all()]


def _papers_of(account: Account) -> list[Invoice | CreditNote]:
    return [row for invoice in account.invoices.all() for row in (invoice, *invoice.credit_notes.all())]


def _names_of(account: Account) -> list[str]:
    return [account.for_whom, *(row.for_whom for row in _papers_of(account))]


def _told(going: list[Account]) -> list[str]:
    papers = sum(len(_papers_of(account)) for account in going)
    told = [f"The name in what is owed for {_counted(len(going), 'thing')}."] if going else []
    if papers:
        told.append(
            f"Name, address and paper of {_counted(papers, 'invoice or credit note', 'invoices or credit notes')}."
        )
    return told


def _counted(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def take_part() -> None:
    register("payments", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
