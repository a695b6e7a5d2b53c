"""An invoice being written, and what is credited of one."""

from __future__ import annotations

from datetime import timedelta

from django import forms

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.payments.forms import LinesForm, day_field, past_day
from shopapp.payments.models import Invoice

from .actions import Credit
from .drafts import Draft

MOST_DAYS = 366


class InvoiceForm(LinesForm):
    """``seen`` is what the page said it comes to; another sum is shown before it is issued."""

    kind: str = Invoice.Kind.WHOLE
    for_whom = forms.CharField(label="For whom", max_length=80)
    address = forms.CharField(
        label="Their address", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    dated = day_field("Dated")
    due = day_field("To be paid by")
    words = forms.CharField(
        label="Words under it",
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="A sentence your rules ask for, thanks, or nothing.",
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean_dated(self):
        return past_day(self.cleaned_data["dated"])

    def clean(self) -> dict:
        typed = super().clean()
        dated, due = typed.get("dated"), typed.get("due")
        if dated and due and due < dated:
            self.add_error("due", "That is before it is written. Choose its day or a later one.")
        elif dated and due and due - dated > timedelta(days=MOST_DAYS):
            self.add_error("due", "That is more than a year after it is written. Look at the year.")
        return typed

    def draft(self, kind: str) -> Draft:
        typed = self.cleaned_data
        return Draft(
            kind, typed["for_whom"], typed["address"], typed["dated"], typed["due"], typed["words"], self.lines()
        )


class CreditForm(ShopForm):
    """``invoice`` is what is credited."""

    amount = MoneyFormField(label="How much of it", help_text="All that is left of it, unless you write less.")
    dated = day_field("Dated")
    reason = forms.CharField(label="Why", max_length=300, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, data=None, *, invoice: Invoice, **kwargs) -> None:
        super().__init__(data, **kwargs)
        amount = self.fields["amount"]
        amount.exponent, amount.suffix = invoice.currency_exponent, invoice.currency_symbol

    def clean_dated(self):
        return past_day(self.cleaned_data["dated"])

    def credit(self) -> Credit:
        typed = self.cleaned_data
        return Credit(typed["dated"], typed["amount"], typed["reason"])
