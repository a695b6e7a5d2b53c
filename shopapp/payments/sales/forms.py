"""A sale that no quote was made for."""

from __future__ import annotations

from fractions import Fraction

from django import forms

from shopapp.common.fields import PercentFormField
from shopapp.payments.forms import LinesForm
from shopapp.people.choosing import PersonField
from shopapp.workshop.models import Workshop

from .actions import Sale


class SaleForm(LinesForm):
    """``shop`` says in which currency, and how its prices have their tax."""

    person = PersonField(label="For whom")
    label = forms.CharField(label="What it is called", max_length=80)
    deposit = PercentFormField(label="Deposit", least=0, most=100, help_text="0 where all of it is paid at once.")

    def __init__(self, data=None, *, shop: Workshop, **kwargs) -> None:
        super().__init__(data, money=shop, **kwargs)

    def sale(self) -> Sale:
        typed = self.cleaned_data
        return Sale(typed["person"], typed["label"], self.lines(), Fraction(typed["deposit"]))
