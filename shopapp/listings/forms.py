"""What stands on a listing, and what became of the piece."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.people.choosing import PersonField
from shopapp.quotes.forms import day_field, long_field

from .actions import ListingFacts
from .models import Listing


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


class GoneForm(ShopForm):
    """When a piece went and to whom. ``act`` names it in the address and in the ids of its fields."""

    act, title, button = "given", "It was given away", "It was given away"
    on = day_field("On")
    to_whom = PersonField(label="To whom", required=False)

    def __init__(self, data=None, *, listing: Listing, **kwargs) -> None:
        initial = {"on": timezone.localdate()}
        super().__init__(data, auto_id=f"{self.act}_%s", initial=initial, edit_version=listing.edit_version, **kwargs)

    def clean_on(self):
        on, today = self.cleaned_data["on"], timezone.localdate()
        if on and on > today:
            raise forms.ValidationError("That day is still to come. Write it down when it has happened.")
        if on and today - on > timedelta(days=3660):
            raise forms.ValidationError("That is more than ten years ago. Look at the year.")
        return on


class SoldForm(GoneForm):
    act, title, button = "sold", "It was sold", "It was sold"
    got = MoneyFormField(label="Price got")

    def __init__(self, data=None, *, listing: Listing, **kwargs) -> None:
        super().__init__(data, listing=listing, **kwargs)
        got = self.fields["got"]
        got.exponent, got.suffix, got.initial = listing.currency_exponent, listing.currency_symbol, listing.price

    def clean_got(self):
        got = self.cleaned_data["got"]
        if got is not None and got <= 0:
            raise forms.ValidationError("Sold for nothing is given away. Say that it was given, or what was got.")
        return got


GONE = {form.act: form for form in (SoldForm, GoneForm)}
