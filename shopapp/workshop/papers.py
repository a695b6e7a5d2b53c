"""What stands on quotes and invoices: the letterhead, usual terms, and how long such papers are kept."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField, PercentFormField

from .forms import SectionForm


def _long(label: str, longest: int, **kwargs) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": 3})
    return forms.CharField(label=label, max_length=longest, required=False, widget=widget, **kwargs)


class PapersForm(SectionForm):
    address = _long("Address", 300, help_text="As it stands at the head of a paper, a line below another.")
    mail = forms.EmailField(
        label="E-mail",
        max_length=254,
        required=False,
        error_messages={"invalid": "This is no address of a mailbox. Write it as name@place.example."},
    )
    phone = forms.CharField(label="Phone", max_length=40, required=False)
    tax_number = forms.CharField(
        label="Tax number", max_length=40, required=False, help_text="Empty if you are not registered."
    )
    pay_to = _long("Pay to", 300, help_text="Where money goes, as it stands on invoices.")
    quote_terms = _long(
        "Usual terms of a quote", 600, help_text="What a new quote begins with; empty for the house’s own words."
    )
    quote_days = CountFormField(label="A quote is valid for, in days", least=1, most=365)
    deposit = PercentFormField(
        label="Deposit, of what is paid", least=0, most=100, help_text="Wood is bought once it is paid; 0 for none."
    )
    invoice_words = _long("Words on every invoice", 300, help_text="Such as a sentence about tax that your place asks.")
    keep_years = CountFormField(
        label="Papers about money are kept, in years",
        least=1,
        most=99,
        help_text="Until then an invoice keeps its name, whoever asks to be forgotten. How many years depends on "
        "where you are.",
    )
