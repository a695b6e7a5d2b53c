"""When a piece went, to whom, for what."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.listings.models import Channel, Listing, Sale
from shopapp.people.choosing import PersonField
from shopapp.quotes.forms import day_field


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
    carriage = MoneyFormField(label="Carriage, paid by the buyer", required=False)
    how = forms.ChoiceField(label="How it was paid", choices=Sale.How.choices)
    channel = forms.ModelChoiceField(
        label="Through", queryset=Channel.objects.filter(kept=True), required=False, empty_label="no channel"
    )

    def __init__(self, data=None, *, listing: Listing, **kwargs) -> None:
        super().__init__(data, listing=listing, **kwargs)
        for name in ("got", "carriage"):
            field = self.fields[name]
            field.exponent, field.suffix = listing.currency_exponent, listing.currency_symbol
        self.fields["got"].initial = listing.price

    def clean_got(self):
        got = self.cleaned_data["got"]
        if got is not None and got <= 0:
            raise forms.ValidationError("Sold for nothing is given away. Say that it was given, or what was got.")
        return got


GONE = {form.act: form for form in (SoldForm, GoneForm)}
