"""The money ledger: what somebody owes, the invoices written for it, what was credited and what was paid. Every row is
written once; a wrong one is put right by another."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import models
from django.urls import reverse

from shopapp.common.fields import ShareField

from .deals import DealLine


def _money(**kwargs) -> models.DecimalField:
    return models.DecimalField(max_digits=12, decimal_places=4, **kwargs)


class Account(models.Model):
    """That money is owed, for what and by whom, as it was agreed. Append-only but for the name.

    ``key`` is the opaque key of what it is for ("quote 12", "sale 3f…"). ``lines`` is canonical JSON of what was
    agreed; ``gross`` all that is to be paid, ``deposit`` what of it is asked first.
    """

    key = models.CharField(max_length=60, unique=True)
    label = models.CharField(max_length=160)
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="accounts")
    for_whom = models.CharField(max_length=80)
    lines = models.TextField()
    carriage = _money(default=Decimal(0))
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    deposit_share = ShareField(default=Fraction(0))
    gross = _money()
    deposit = _money(default=Decimal(0))
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    home = models.CharField(max_length=200, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(gross__gte=0, deposit__gte=0, deposit__lte=models.F("gross"), carriage__gte=0),
                name="account_is_of_a_sum",
            ),
        ]

    def __str__(self) -> str:
        return self.label

    def get_absolute_url(self) -> str:
        return reverse("payments:account", args=[self.pk])

    @property
    def asks_for(self) -> str:
        """Its key as addresses write it."""
        return self.key.replace(" ", "-", 1)

    @property
    def agreed(self) -> tuple[DealLine, ...]:
        return tuple(DealLine(words, count, Decimal(each)) for words, count, each in json.loads(self.lines))


class AccountEvent(models.Model):
    """That money is expected, or no longer, in a sentence. Append-only; the newest counts."""

    class Kind(models.TextChoices):
        EXPECTED = "expected", "expected"
        STOPPED = "stopped", "called off"

    account = models.ForeignKey(Account, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.words


class Series(models.Model):
    """The numbers of one kind of paper in one year: whoever takes the next one waits here for whoever took the last."""

    class Kind(models.TextChoices):
        INVOICE = "invoice", "invoices"
        CREDIT = "credit", "credit notes"

    kind = models.CharField(max_length=7, choices=Kind.choices)
    year = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "year"], name="one_series_a_year")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.year}"


class Numbered(models.Model):
    """What an invoice and a credit note have in common. ``net`` + ``tax_sum`` is ``gross``. ``letterhead`` is the shop
    as it stood on the day, in the words of its papers."""

    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    for_whom = models.CharField(max_length=80)
    address = models.CharField(max_length=400, blank=True)
    dated = models.DateField()
    words = models.CharField(max_length=600, blank=True)
    net = _money()
    tax_sum = _money(default=Decimal(0))
    gross = _money()
    letterhead = models.JSONField(default=dict)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        abstract = True


class Invoice(Numbered):
    """An invoice as it was issued. Append-only but for name and address, which leave it when they need not be kept any
    longer. ``tax`` is a share, held in the lines' prices or added to them."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "deposit invoice"
        REST = "rest", "invoice for the rest"
        WHOLE = "whole", "invoice"

    account = models.ForeignKey(Account, models.PROTECT, related_name="invoices")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    due = models.DateField()
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["-year", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["year", "number"], name="one_invoice_of_each_number"),
            models.CheckConstraint(
                condition=models.Q(gross__gt=0, tax_sum__gte=0, tax_sum__lte=models.F("gross")),
                name="invoice_is_of_a_sum",
            ),
            models.CheckConstraint(condition=models.Q(due__gte=models.F("dated")), name="invoice_is_due_after_its_day"),
        ]
        indexes = [models.Index(fields=["dated"])]

    def __str__(self) -> str:
        return f"{'Deposit invoice' if self.kind == self.Kind.DEPOSIT else 'Invoice'} {self.reference}"

    def get_absolute_url(self) -> str:
        return reverse("payments:invoice", args=[self.pk])

    @property
    def reference(self) -> str:
        return f"{self.year}-{self.number:04d}"

    @property
    def named(self) -> str:
        """What it is called within a sentence."""
        return f"{'deposit invoice' if self.kind == self.Kind.DEPOSIT else 'invoice'} {self.reference}"

    def is_late(self, today: date) -> bool:
        return today > self.due


class InvoiceLine(models.Model):
    """What an invoice is for: ``amount`` is printed beside ``count`` at ``each``. Append-only."""

    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="lines")
    place = models.PositiveSmallIntegerField()
    words = models.CharField(max_length=200)
    count = models.PositiveIntegerField()
    each = _money()
    amount = _money()

    class Meta:
        ordering = ["place"]
        constraints = [models.UniqueConstraint(fields=["invoice", "place"], name="one_invoice_line_at_each_place")]

    def __str__(self) -> str:
        return self.words


class TakenOff(models.Model):
    """What an invoice for the rest takes off: a deposit invoice, less what was credited of it; and what of it was
    ``paid`` by then. Append-only."""

    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="taken_off")
    deposit = models.ForeignKey(Invoice, models.PROTECT, related_name="taken_by")
    net = _money()
    tax_sum = _money()
    gross = _money()
    paid = _money(default=Decimal(0))

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["invoice", "deposit"], name="a_deposit_taken_off_once")]

    def __str__(self) -> str:
        return f"{self.deposit} taken off {self.invoice}"


class CreditNote(Numbered):
    """An invoice cancelled, wholly or in part, and why (``words``). Append-only as an invoice is."""

    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="credit_notes")

    class Meta:
        ordering = ["-year", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["year", "number"], name="one_credit_note_of_each_number"),
            models.CheckConstraint(
                condition=models.Q(gross__gt=0, tax_sum__gte=0, tax_sum__lte=models.F("gross")),
                name="credit_note_is_of_a_sum",
            ),
        ]

    def __str__(self) -> str:
        return f"Credit note {self.reference}"

    def get_absolute_url(self) -> str:
        return reverse("payments:credit_note", args=[self.pk])

    @property
    def reference(self) -> str:
        """Spoken of with a letter, so that it is never taken for an invoice of the same number."""
        return f"C{self.year}-{self.number:04d}"


class Payment(models.Model):
    """Money that came in for an invoice, or went back (``amount`` below nought). Append-only; a wrong one is taken back
    by another of the opposite amount that names it."""

    class How(models.TextChoices):
        CASH = "cash", "cash"
        TRANSFER = "transfer", "bank transfer"
        CARD = "card", "card"
        OTHER = "other", "another way"

    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="payments")
    on = models.DateField()
    amount = _money()
    how = models.CharField(max_length=8, choices=How.choices)
    note = models.CharField(max_length=200, blank=True)
    takes_back = models.OneToOneField("self", models.PROTECT, null=True, related_name="taken_back")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~models.Q(amount=0), name="payment_is_of_something")]
        indexes = [models.Index(fields=["on"])]

    def __str__(self) -> str:
        return f"Payment {self.pk}"


class MoneyPaper(models.Model):
    """The paper of an invoice or a credit note: asked for as it is issued, made by the worker, then stored for good."""

    invoice = models.OneToOneField(Invoice, models.PROTECT, null=True, related_name="paper")
    credit_note = models.OneToOneField(CreditNote, models.PROTECT, null=True, related_name="paper")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(invoice__isnull=True, credit_note__isnull=False)
                | models.Q(invoice__isnull=False, credit_note__isnull=True),
                name="a_paper_of_one_thing",
            )
        ]

    def __str__(self) -> str:
        return f"Paper of {self.invoice or self.credit_note}"
