"""An invoice issued, credited, and put on paper. Each happens once and for good."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import round_half_up
from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue
from shopapp.common.templatetags.shop import money
from shopapp.payments.actions import expect, is_stopped
from shopapp.payments.balances import Balance, balances_of
from shopapp.payments.deals import Deal
from shopapp.payments.models import Account, CreditNote, Invoice, InvoiceLine, MoneyPaper, Series, TakenOff
from shopapp.payments.planning import sums_of_credit
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .drafts import Draft, NotNow, kinds_open, sums_of, sums_of_draft, taken_off, tax_is_held
from .numbering import next_number

Spend = Callable[[], None]


@dataclass(frozen=True)
class Credit:
    """What is credited of an invoice, to be paid in all, and why."""

    dated: date
    amount: Decimal
    reason: str


def issue_invoice(*, who: Member | None, owed: Account | Deal, draft: Draft, spend: Spend = lambda: None) -> Invoice:
    """Issue an invoice for good under the next number of its year, and ask the worker for its paper. A deal nobody
    expected money for yet is expected from now on.

    Raises PlannerError where an invoice of its kind cannot be written now, where it comes to nothing, and where the
    last number's day is later.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        account = lock(expect(who, owed) if isinstance(owed, Deal) else owed)
        invoices = balances_of(account.invoices.order_by("pk"))
        if draft.kind not in kinds_open(account, invoices, stopped=is_stopped(account)):
            raise NotNow("That is not the invoice to write now.", mend="Look at what stands, and begin anew.")
        sums = sums_of_draft(account, draft, invoices)
        invoice = Invoice.objects.create(
            account=account,
            kind=draft.kind,
            year=draft.dated.year,
            number=next_number(Series.Kind.INVOICE, draft.dated),
            for_whom=draft.for_whom,
            address=draft.address,
            dated=draft.dated,
            due=draft.due,
            words=draft.words,
            tax=account.tax,
            tax_included=tax_is_held(account, draft.kind),
            currency_symbol=account.currency_symbol,
            currency_exponent=account.currency_exponent,
            net=sums.net,
            tax_sum=sums.tax,
            gross=sums.gross,
            letterhead=letterhead(the_workshop()),
            made_by=who,
        )
        InvoiceLine.objects.bulk_create(
            InvoiceLine(
                invoice=invoice,
                place=place,
                words=line.words,
                count=line.count,
                each=line.each,
                amount=round_half_up(line.each * line.count, account.currency_exponent),
            )
            for place, line in enumerate(draft.lines, 1)
        )
        if draft.kind == Invoice.Kind.REST:
            TakenOff.objects.bulk_create(
                TakenOff(
                    invoice=invoice,
                    deposit=deposit.invoice,
                    net=off.net,
                    tax_sum=off.tax,
                    gross=off.gross,
                    paid=deposit.paid,
                )
                for deposit, off in taken_off(invoices)
            )
        write_audit(who, f"{invoice} was issued: {account.label}, {money(invoice.gross, invoice)}.", invoice)
        MoneyPaper.objects.create(invoice=invoice, task=enqueue(make_invoice_paper, invoice.pk))
    return invoice


def lock(account: Account) -> Account:
    """Whoever else would write for this account waits until this transaction is done."""
    return Account.objects.select_for_update().get(pk=account.pk)


def locked_balance(invoice: Invoice) -> Balance:
    """How an invoice stands, while nobody else can write for it."""
    lock(Account(pk=invoice.account_id))
    return balances_of([invoice])[0]


def letterhead(shop: Workshop) -> dict[str, str]:
    """The shop as it stands on a paper of this day."""
    names = ("name", "address", "mail", "phone", "tax_number", "pay_to", "unit")
    return {name: getattr(shop, name) for name in names}


def credit_invoice(*, who: Member | None, invoice: Invoice, credit: Credit, spend: Spend = lambda: None) -> CreditNote:
    """Cancel an invoice, wholly or in part, by a credit note of the next number. Raises PlannerError where that is more
    than is left of it."""
    owner_only(who)
    with transaction.atomic():
        spend()
        balance = locked_balance(invoice)
        if balance.is_cancelled:
            raise NotNow(f"{invoice} is credited already, all of it.", mend="Nothing is left of it to credit.")
        if not 0 < credit.amount <= balance.asked:
            raise PlannerError(
                f"{money(balance.asked, invoice)} is left of {invoice.named}.",
                mend="Write that or less.",
                field="amount",
            )
        if credit.dated < invoice.dated:
            raise PlannerError(
                f"{invoice} is dated later than that.", mend="Choose its day or a later one.", field="dated"
            )
        sums = sums_of_credit(sums_of(invoice), balance.credited, credit.amount, invoice.currency_exponent)
        note = CreditNote.objects.create(
            invoice=invoice,
            year=credit.dated.year,
            number=next_number(Series.Kind.CREDIT, credit.dated),
            for_whom=invoice.for_whom,
            address=invoice.address,
            dated=credit.dated,
            words=credit.reason,
            net=sums.net,
            tax_sum=sums.tax,
            gross=sums.gross,
            letterhead=letterhead(the_workshop()),
            made_by=who,
        )
        whole = "all that was left of it" if credit.amount == balance.asked else money(credit.amount, invoice)
        write_audit(who, f"{note} credits {invoice.named} with {whole}: {credit.reason}", invoice)
        MoneyPaper.objects.create(credit_note=note, task=enqueue(make_credit_paper, note.pk))
    return note


def ask_for_paper(*, who: Member, row: Invoice | CreditNote, spend: Spend = lambda: None) -> MoneyPaper:
    """Have the worker make a paper again after a failure; one that stands stays."""
    owner_only(who)
    with transaction.atomic():
        spend()
        named = {"invoice": row} if isinstance(row, Invoice) else {"credit_note": row}
        paper, _ = MoneyPaper.objects.select_for_update(of=("self",)).get_or_create(**named)
        if paper.document_id is None:
            paper.task = enqueue(make_invoice_paper if isinstance(row, Invoice) else make_credit_paper, row.pk)
            paper.save(update_fields=["task"])
            write_audit(who, f"The paper of {row} was asked for.", row)
    return paper


@background(name="make an invoice's paper")
def make_invoice_paper(pk: int) -> None:
    _make(Invoice.objects.select_related("account").get(pk=pk), invoice_id=pk)


@background(name="make a credit note's paper")
def make_credit_paper(pk: int) -> None:
    _make(CreditNote.objects.select_related("invoice__account").get(pk=pk), credit_note_id=pk)


def _make(row: Invoice | CreditNote, **which: int) -> None:
    """The worker's part: render the paper from what was issued, write the file, then record it; never a second time."""
    from .paper import money_pdf

    make_once(MoneyPaper.objects.filter(**which), lambda: money_pdf(row), str(row))
