"""When a piece went, to whom, for what; and what becomes of a sale."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.common.models import Record
from shopapp.common.templatetags.shop import money
from shopapp.listings.models import Channel, Listing, Piece, Sale, SaleChange
from shopapp.people.choosing import PersonField
from shopapp.quotes.forms import day_field, long_field


class ActForm(ShopForm):
    """Something done to a piece or its listing. ``act`` names it in the address and in the ids of its fields."""

    act = title = button = ""

    def __init__(self, data=None, *, record: Record, **kwargs) -> None:
        initial = {"on": timezone.localdate(), **kwargs.pop("initial", {})}
        super().__init__(data, auto_id=f"{self.act}_%s", initial=initial, edit_version=record.edit_version, **kwargs)

    def in_money_of(self, row: object, *names: str) -> None:
        for name in names:
            self.fields[name].exponent = row.currency_exponent
            self.fields[name].suffix = row.currency_symbol


def no_day_to_come(on, what: str = "it has happened"):
    """The day of something that is over. Raises ValidationError."""
    today = timezone.localdate()
    if on and on > today:
        raise forms.ValidationError(f"That day is still to come. Write it down when {what}.")
    if on and today - on > timedelta(days=3660):
        raise forms.ValidationError("That is more than ten years ago. Look at the year.")
    return on


class GivenForm(ActForm):
    act, title, button = "given", "It was given away", "It was given away"
    on = day_field("On")
    to_whom = PersonField(label="To whom", required=False)

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])


def asked_prices(listing: Listing | None) -> dict[int | None, Decimal]:
    """What is asked for a listed piece: by channel it is offered through, under None everywhere else; empty where it is
    not listed. One query."""
    if listing is None:
        return {}
    there = listing.offerings.filter(on=True).values_list("channel", "price")
    return {None: listing.price, **dict(there)}


class SoldForm(GivenForm):
    """``shop`` has the currency. A price left empty is the one asked where it was sold, which stands beside each way of
    selling; ``asked`` are those that were seen, so that nothing is sold at a price that was changed meanwhile."""

    act, title, button = "sold", "It was sold", "It was sold"
    got = MoneyFormField(label="Price got")
    asked = forms.CharField(max_length=4000, required=False, widget=forms.HiddenInput)
    carriage = MoneyFormField(label="Carriage, paid by the buyer", required=False)
    how = forms.ChoiceField(label="How it was paid", choices=Sale.How.choices)
    channel = forms.ModelChoiceField(
        label="Through", queryset=Channel.objects.filter(kept=True), required=False, empty_label="no channel"
    )

    def __init__(
        self, data=None, *, record: Record, shop, listing: Listing | None = None, through=None, **kwargs
    ) -> None:  # fmt: skip
        self.prices = asked_prices(listing)
        seen = ";".join(f"{channel or 0}:{price}" for channel, price in self.prices.items())
        super().__init__(data, record=record, initial={"channel": through, "asked": seen}, **kwargs)
        self.in_money_of(shop, "got", "carriage")
        channel = self.fields["channel"]
        channel.widget.attrs.pop("required", None)
        if self.prices:
            usual = self.prices[None]
            self.fields["got"].required = False
            self.fields["got"].help_text = "Empty for what is asked where it was sold."
            channel.label_from_instance = lambda one: f"{one}, {money(self.prices.get(one.pk, usual), shop)}"
            channel.empty_label = f"no channel, {money(usual, shop)}"

    def clean_got(self):
        got = self.cleaned_data["got"]
        if got is not None and got <= 0:
            raise forms.ValidationError("Sold for nothing is given away. Say that it was given, or what was got.")
        return got

    def clean(self) -> dict:
        data = super().clean()
        if self.prices and data.get("got") is None and "got" not in self.errors and "channel" not in self.errors:
            if data.get("asked") != self["asked"].initial:
                self.add_error("got", "What is asked was changed meanwhile. Look at the prices, or write what was got.")
                self.data = {**self.data.dict(), "asked": self["asked"].initial}
            else:
                channel = data.get("channel")
                data["got"] = self.prices.get(channel.pk if channel else None, self.prices[None])
        return data


class HeldForm(ActForm):
    act, title, button = "held", "Hold it for somebody", "Hold it"
    until = day_field("Until")
    to_whom = PersonField(label="For whom", required=False)

    def clean_until(self):
        until, today = self.cleaned_data["until"], timezone.localdate()
        if until and until < today:
            raise forms.ValidationError("That day is over. Hold it until a day to come.")
        if until and until - today > timedelta(days=366):
            raise forms.ValidationError("That is more than a year. Hold it until an earlier day.")
        return until


class WithdrawnForm(ActForm):
    act, title, button = "withdrawn", "Offer it no more", "Withdraw it"
    words = forms.CharField(label="Why", max_length=200, required=False)


class BackForm(ActForm):
    """What becomes of a sale that stands."""

    act, title, button = "back", "Something was given back, or it came back", "Write it down"
    kind = forms.ChoiceField(label="What happened")
    on = day_field("On")
    back = MoneyFormField(
        label="Given back",
        help_text="In all, tax in it. Of a return or a part; what falls through goes back whole.",
        required=False,
    )
    where = forms.ChoiceField(
        label="The piece is now",
        choices=[(one.value, one.label) for one in (Piece.Where.HERE, Piece.Where.DAMAGED, Piece.Where.GONE)],
    )
    words = long_field("Why", 400, rows=2, required=False)
    fees_back = forms.BooleanField(label="The channel gave its fees back", required=False)

    def __init__(self, data=None, *, record: Record, sale: Sale, **kwargs) -> None:
        super().__init__(data, record=record, **kwargs)
        self.in_money_of(sale, "back")
        gave_way = SaleChange.Kind.GAVE_WAY
        self.fields["kind"].choices = [one for one in SaleChange.Kind.choices if one[0] != gave_way]

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])

    def clean(self) -> dict:
        data = super().clean()
        part = data.get("kind") in (SaleChange.Kind.REDUCED, SaleChange.Kind.RETURNED)
        if part and data.get("back") is None and "back" not in self.errors:
            self.add_error("back", "Nothing is written here yet. Write what was given back, 0 for nothing.")
        return data
