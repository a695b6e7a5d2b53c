"""A box, how far it came, and what is given back for it."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import CountFormField, LengthFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.jobs.models import Job
from shopapp.listings.models import Parcel
from shopapp.listings.selling.forms import ActForm, no_day_to_come
from shopapp.quotes.forms import day_field

from .actions import NEXT, Box


class BoxForm(ShopForm):
    """``on`` is asked as it is packed, and not when what is known of it is changed."""

    length = LengthFormField(label="Box, long", required=False)
    width = LengthFormField(label="Box, wide", required=False)
    height = LengthFormField(label="Box, high", required=False)
    grams = CountFormField(label="It weighs, packed", least=1, most=1_000_000, required=False)
    cover = MoneyFormField(label="Insured for", required=False)
    carrier = forms.CharField(label="Carrier", max_length=60, required=False)
    number = forms.CharField(label="Its number with the carrier", max_length=60, required=False)
    on = day_field("Packed on")

    def __init__(self, data=None, *, shop, packed: bool = False, **kwargs) -> None:
        super().__init__(data, **kwargs)
        for name in ("length", "width", "height"):
            self.fields[name].unit = shop.unit
        self.fields["grams"].suffix = "g"
        self.fields["cover"].exponent, self.fields["cover"].suffix = shop.currency_exponent, shop.currency_symbol
        if packed:
            del self.fields["on"]

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"], "it is packed")

    def box(self) -> Box:
        return Box(**{name: self.cleaned_data[name] for name in Box.__dataclass_fields__})


class ParcelMoveForm(ActForm):
    act, title, button = "moved", "How far it is", "Write it down"
    state = forms.ChoiceField(label="What happened")
    on = day_field("On")
    carriage = MoneyFormField(label="Paid to the carrier", required=False, help_text="Written down as it is sent.")
    words = forms.CharField(label="What is to be said of it", max_length=200, required=False)

    def __init__(self, data=None, *, record: Parcel, carriage=None, **kwargs) -> None:
        super().__init__(data, record=record, initial={"carriage": carriage}, **kwargs)
        self.in_money_of(record, "carriage")
        state = Parcel.State(record.state)
        self.fields["state"].choices = [(one.value, _WORDS.get((state, one), _THEN[one])) for one in NEXT[state]]
        if state != Parcel.State.PACKED:
            del self.fields["carriage"]

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])


_THEN = {
    Parcel.State.SENT: "it was sent",
    Parcel.State.ARRIVED: "it arrived",
    Parcel.State.DAMAGED: "it arrived damaged",
    Parcel.State.LOST: "it was lost on the way",
    Parcel.State.BACK: "it came back",
}
_WORDS = {
    (Parcel.State.PACKED, Parcel.State.BACK): "it was not sent after all",
    (Parcel.State.ARRIVED, Parcel.State.DAMAGED): "it was damaged, they say since",
}


class CarriageForm(ActForm):
    """Where it was not known as the parcel was sent."""

    act, title, button = "carriage", "What the carrier was paid", "Write it down"
    amount = MoneyFormField(label="Paid to the carrier")
    on = day_field("On")

    def __init__(self, data=None, *, record: Parcel, **kwargs) -> None:
        super().__init__(data, record=record, **kwargs)
        self.in_money_of(record, "amount")

    def clean_amount(self):
        amount = self.cleaned_data["amount"]
        if amount is not None and amount <= 0:
            raise forms.ValidationError("That is nothing. Write what was paid.")
        return amount

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])


class MoneyBackForm(ActForm):
    """A sale that went wrong on its way."""

    act, title, button = "money-back", "Money back, and the sale is over", "Give it back"
    on = day_field("On")
    back = MoneyFormField(label="Given back")

    def __init__(self, data=None, *, record: Parcel, left=None, **kwargs) -> None:
        super().__init__(data, record=record, initial={"back": left}, **kwargs)
        self.in_money_of(record, "back")

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])


class PartBackForm(MoneyBackForm):
    act, title, button = "part-back", "They keep it, and a part is given back", "Give that back"


class AgainForm(ActForm):
    act, title, button = "again", "Make it again", "Begin a remake"
    settled = forms.ChoiceField(label="Who bears it", choices=Job.Settled.choices, initial=Job.Settled.RESERVE)
    due = day_field("Due", required=False)

    def clean_due(self):
        due = self.cleaned_data["due"]
        if due and due < timezone.localdate():
            raise forms.ValidationError("That day is over. Choose a day to come, or none.")
        return due
