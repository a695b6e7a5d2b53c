"""What a channel takes, and a listing offered through one."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField, PercentFormField
from shopapp.common.forms import ShopForm
from shopapp.listings.models import Channel
from shopapp.listings.selling.forms import ActForm
from shopapp.people.choosing import PersonField
from shopapp.quotes.forms import day_field

from .actions import ChannelFacts

_MONEY = ("fixed", "minimum", "cap", "per_listing")


class ChannelForm(ShopForm):
    name = forms.CharField(label="What you call it", max_length=60)
    kind = forms.ChoiceField(label="What it is", choices=Channel.Kind.choices)
    person = PersonField(label="Whose it is", required=False)
    own_fees = forms.BooleanField(
        label="It takes what is written here",
        required=False,
        help_text="Else the fees of the workshop’s settings count.",
    )
    percent = PercentFormField(label="It keeps, of the price net of tax", least=0, most=100, required=False)
    fixed = MoneyFormField(label="And of every sale", required=False)
    minimum = MoneyFormField(label="At least", required=False)
    cap = MoneyFormField(label="At most", required=False)
    on_carriage = forms.BooleanField(label="It keeps that of the carriage too", required=False)
    on_tax = forms.BooleanField(label="And of the tax", required=False)
    per_listing = MoneyFormField(
        label="For offering a piece, sold or not", required=False, help_text="Written down once for each piece."
    )

    def __init__(self, data=None, *, shop, **kwargs) -> None:
        super().__init__(data, **kwargs)
        for name in _MONEY:
            self.fields[name].exponent, self.fields[name].suffix = shop.currency_exponent, shop.currency_symbol

    def facts(self) -> ChannelFacts:
        typed = {name: self.cleaned_data[name] for name in ChannelFacts.__dataclass_fields__}
        whole = {name: typed[name] or 0 for name in ("percent", "fixed", "per_listing")}
        return ChannelFacts(**{**typed, **whole})


def initial_of(channel: Channel) -> dict[str, object]:
    return {name: getattr(channel, name) for name in ChannelFacts.__dataclass_fields__}


class OfferedForm(ActForm):
    act, title, button = "offered", "Offer it through a channel", "Offer it there"
    channel = forms.ModelChoiceField(label="Channel", queryset=Channel.objects.filter(kept=True), empty_label=None)
    price = MoneyFormField(label="Price there")
    since = day_field("Since")
    reference = forms.CharField(label="Where it stands", max_length=200, required=False,
                                help_text="An address or a number, for yourself.")  # fmt: skip

    def __init__(self, data=None, *, record, shop, **kwargs) -> None:
        super().__init__(data, record=record, initial={"since": timezone.localdate(), "price": record.price}, **kwargs)
        self.in_money_of(shop, "price")

    def clean_price(self):
        price = self.cleaned_data["price"]
        if price is not None and price <= 0:
            raise forms.ValidationError("A piece that costs nothing is given away. Write a price.")
        return price
