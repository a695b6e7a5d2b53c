"""What the page and the paper of an invoice or a credit note show; both open the same rows, so both say the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.dateformat import format as format_day

from shopapp.common.documents import paper_state
from shopapp.common.models import AuditLine
from shopapp.common.tasks import TaskState
from shopapp.common.templatetags.shop import money, percent
from shopapp.payments.balances import balances_of
from shopapp.payments.models import CreditNote, Invoice, InvoiceLine, MoneyPaper, Payment, TakenOff

_NOT_MADE = "The paper was not made. Ask for it again."


@dataclass(frozen=True)
class Foot:
    """A sum under the lines."""

    label: str
    amount: Decimal
    strong: bool = False


class InvoiceView:
    """An invoice as it was issued: its lines, what it takes off, and the sums at its foot. Two queries."""

    def __init__(self, invoice: Invoice) -> None:
        self.invoice = invoice
        self.lines: list[InvoiceLine] = list(invoice.lines.all())
        rest = invoice.kind == Invoice.Kind.REST
        self.taken: list[TakenOff] = list(invoice.taken_off.select_related("deposit")) if rest else []

    @property
    def kind(self) -> str:
        return Invoice.Kind(self.invoice.kind).label

    @property
    def foot(self) -> list[Foot]:
        invoice = self.invoice
        to_pay = Foot("To pay", invoice.gross, strong=True)
        if self.taken:
            return [*self._taken_off(), to_pay, *self._held()]
        if invoice.tax and not invoice.tax_included:
            tax = Foot(f"Tax, {percent(invoice.tax)}", invoice.tax_sum)
            return [Foot("Before tax", invoice.net), tax, to_pay]
        return [to_pay, *self._held()]

    def _held(self) -> list[Foot]:
        return held_in_it(self.invoice, self.invoice)

    def _taken_off(self) -> list[Foot]:
        """The whole, and the deposits that are taken off it."""
        invoice = self.invoice
        lines = sum((line.amount for line in self.lines), Decimal(0))
        rows = [Foot("The lines together", lines)]
        if invoice.tax and not invoice.tax_included:
            tax = invoice.tax_sum + sum((off.tax_sum for off in self.taken), Decimal(0))
            rows += [Foot(f"Tax on them, {percent(invoice.tax)}", tax), Foot("In all", lines + tax)]
        return rows + [Foot(f"Less {off.deposit.named} of {day(off.deposit.dated)}", -off.gross) for off in self.taken]

    @property
    def of_deposits(self) -> list[str]:
        """What of the deposits that are taken off was paid when this was issued, and the tax that was in them."""
        return [_of_deposit(off, self.invoice) for off in self.taken]


def _of_deposit(off: TakenOff, invoice: Invoice) -> str:
    paid, still = min(off.paid, off.gross), max(off.gross - off.paid, Decimal(0))
    words = f"Of {off.deposit.named}, {money(paid, invoice)} was paid by {day(invoice.dated)}"
    words += f"; {money(still, invoice)} is open and is to be paid beside this." if still else "."
    return f"{words} It held {money(off.tax_sum, invoice)} of tax." if invoice.tax else words


class CreditView:
    """A credit note as it was issued."""

    def __init__(self, note: CreditNote) -> None:
        self.note, self.invoice = note, note.invoice

    @property
    def foot(self) -> list[Foot]:
        return [Foot("Credited", self.note.gross, strong=True), *held_in_it(self.note, self.invoice)]


def held_in_it(row: Invoice | CreditNote, invoice: Invoice) -> list[Foot]:
    if not invoice.tax:
        return []
    return [Foot(f"Tax held in it, {percent(invoice.tax)}", row.tax_sum), Foot("Without tax", row.net)]


@dataclass(frozen=True)
class PaymentLine:
    """A payment on the page of its invoice."""

    payment: Payment
    taken_back: bool

    @property
    def what(self) -> str:
        if self.payment.takes_back_id is not None:
            return "taken back"
        return "paid" if self.payment.amount > 0 else "given back"

    @property
    def about(self) -> str:
        return day(self.payment.on)

    @property
    def can_be_taken_back(self) -> bool:
        return self.payment.takes_back_id is None and not self.taken_back


def payments_of(invoice: Invoice) -> list[PaymentLine]:
    """Every entry, oldest first. One query."""
    payments = list(invoice.payments.select_related("who"))
    undone = {payment.takes_back_id for payment in payments}
    return [PaymentLine(payment, payment.pk in undone) for payment in payments]


def taken_by(invoice: Invoice) -> Invoice | None:
    """The invoice for the rest that takes a deposit invoice off, if one stands. Three queries at most."""
    if invoice.kind != Invoice.Kind.DEPOSIT:
        return None
    rests = Invoice.objects.filter(taken_off__deposit=invoice).order_by("-pk")
    return next((one.invoice for one in balances_of(rests) if not one.is_cancelled), None)


def story_of(invoice: Invoice) -> list[AuditLine]:
    """What happened to an invoice, newest first. One query."""
    kept = AuditLine.objects.filter(kind=invoice._meta.label_lower, key=str(invoice.pk))
    return list(kept.select_related("who"))


def paper_of(row: Invoice | CreditNote) -> TaskState:
    """How far its paper is; one that has none was asked for one, so that is a failure too. What an erasure took away is
    gone: its row has no title any more."""
    named = {"invoice": row} if isinstance(row, Invoice) else {"credit_note": row}
    paper = MoneyPaper.objects.filter(**named).select_related("document").first()
    if paper is not None and paper.document is not None and not paper.document.title:
        return TaskState("gone")
    return TaskState("failed", _NOT_MADE) if paper is None else paper_state(paper, _NOT_MADE)


def day(on: date) -> str:
    return format_day(on, "j M Y")
