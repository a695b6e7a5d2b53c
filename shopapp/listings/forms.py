"""What stands on a listing, and what became of the piece."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.quotes.forms import long_field

from .actions import ListingFacts


class ListingForm(ShopForm):
    """``shop`` says in which currency the price is asked."""

    title = forms.CharField(label="What it is called", max_length=80)
    words = long_field("What is said of it", 1000, required=False)
    price = MoneyFormField(label="Asked price")

    def __init__(self, data=None, *, shop, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["price"].exponent, self.fields["price"].suffix = shop.currency_exponent, shop.currency_symbol

    def clean_price(self):
        price = self.cleaned_data["price"]
        if price is not None and price <= 0:
            raise forms.ValidationError("A piece that costs nothing is given away, not listed. Write a price.")
        return price

    def facts(self) -> ListingFacts:
        return ListingFacts(self.cleaned_data["title"], self.cleaned_data["words"], self.cleaned_data["price"])
