"""What came in for an invoice, or went back."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.payments.forms import day_field, past_day
from shopapp.payments.models import Invoice, Payment

from .actions import Paid


class PaidForm(ShopForm):
    """``invoice`` says in which currency. Whether more is meant is asked once it is more."""

    amount = MoneyFormField(label="How much")
    on = day_field("On")
    how = forms.ChoiceField(label="How", choices=Payment.How.choices, initial=Payment.How.TRANSFER)
    note = forms.CharField(label="Note", max_length=200, required=False)
    more_is_meant = forms.BooleanField(label="So much came in, more than is open", required=False)

    def __init__(self, data=None, *, invoice: Invoice, **kwargs) -> None:
        super().__init__(data, **kwargs)
        amount = self.fields["amount"]
        amount.exponent, amount.suffix = invoice.currency_exponent, invoice.currency_symbol
        self.fields["on"].initial = timezone.localdate()

    def clean_on(self):
        return past_day(self.cleaned_data["on"])

    def clean_amount(self):
        amount = self.cleaned_data["amount"]
        if amount is not None and amount <= 0:
            raise forms.ValidationError("Nothing is no payment. Write how much it was.")
        return amount

    def paid(self) -> Paid:
        return Paid(**{name: self.cleaned_data[name] for name in Paid.__dataclass_fields__})
