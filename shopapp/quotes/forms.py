"""What is written into a quote."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm

from .actions import Offer


def day_field(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)


def long_field(label: str, longest: int, **kwargs) -> forms.CharField:
    return forms.CharField(label=label, max_length=longest, widget=forms.Textarea(attrs={"rows": 3}), **kwargs)


class QuoteForm(ShopForm):
    """``shop`` is the shop with the plan's currency, ``boards`` how many the plan makes."""

    for_whom = forms.CharField(label="For whom", max_length=80)
    title = forms.CharField(label="What it is called", max_length=80)
    price = MoneyFormField(label="Price of a board")
    carriage = MoneyFormField(label="Carriage", help_text="0 where it is fetched, or carriage is not part of it.")
    dated = day_field("Dated")
    valid_until = day_field("Valid until")
    words = long_field("A few words to them", 600, required=False)
    care = long_field("Use and care", 300)
    left_out = long_field("What is left out", 300, required=False)
    terms = long_field("Terms", 600, required=False)

    def __init__(self, data=None, *, shop, boards: int, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["price"].label = "Price" if boards == 1 else f"Price of each of the {boards} boards"
        for name in ("price", "carriage"):
            self.fields[name].exponent, self.fields[name].suffix = shop.currency_exponent, shop.currency_symbol

    def clean_price(self):
        price = self.cleaned_data["price"]
        if price is not None and price <= 0:
            raise forms.ValidationError("A quote of nothing is a gift: begin a job for it, or write a price.")
        return price

    def clean(self) -> dict:
        typed = super().clean()
        dated, until = typed.get("dated"), typed.get("valid_until")
        if dated and abs(dated - timezone.localdate()) > timedelta(days=366):
            self.add_error("dated", "That is more than a year from today. Look at the year.")
        if dated and until and until < dated:
            self.add_error("valid_until", "It would have lapsed before it is written. Choose a later day.")
        return typed

    def offer(self, **more: object) -> Offer:
        typed = {name: self.cleaned_data[name] for name in Offer.__dataclass_fields__ if name in self.cleaned_data}
        return Offer(**typed, **more)
