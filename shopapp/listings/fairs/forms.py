"""What is written down of a fair: its days, what it cost, how long somebody stood there."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField, NumberFormField
from shopapp.common.forms import ShopForm
from shopapp.listings.models import Expense, Fair
from shopapp.quotes.forms import day_field
from shopapp.workshop.models import Workshop

from .actions import FairFacts
from .readers import days_of

Kind = Expense.Kind
KINDS = [(kind.value, kind.label) for kind in (Kind.STALL, Kind.TRAVEL, Kind.PACKAGING, Kind.FEE, Kind.OTHER)]
# A fair of more days is a shop.
MOST_DAYS = 31


class FairForm(ShopForm):
    name = forms.CharField(label="What it is called", max_length=80)
    town = forms.CharField(label="Where", max_length=80, required=False)
    first = day_field("First day")
    last = day_field("Last day")
    hour = MoneyFormField(label="An hour there", help_text="What an hour behind the stall is reckoned at.")

    def __init__(self, data=None, *, shop: Workshop, fair: Fair | None = None, **kwargs) -> None:
        today = timezone.localdate()
        initial: dict[str, object] = {"first": today, "last": today, "hour": shop.hour}
        if fair is not None:
            initial = {name: getattr(fair, name) for name in ("name", "town", "first", "last", "hour")}
        version = fair.edit_version if fair is not None else None
        super().__init__(data, auto_id="fair_%s", initial=initial, edit_version=version, **kwargs)
        hour = self.fields["hour"]
        hour.exponent, hour.suffix = shop.currency_exponent, shop.currency_symbol

    def clean(self) -> dict:
        typed = super().clean()
        first, last = typed.get("first"), typed.get("last")
        if first and last and last < first:
            self.add_error("last", "It ends before it begins. Look at the days.")
        elif first and last and (last - first).days >= MOST_DAYS:
            self.add_error("last", f"That is longer than {MOST_DAYS} days. Write the parts as fairs of their own.")
        return typed

    def facts(self) -> FairFacts:
        return FairFacts(**{name: self.cleaned_data[name] for name in ("name", "town", "first", "last", "hour")})


class ExpenseForm(ShopForm):
    act = "expense"
    kind = forms.ChoiceField(label="For", choices=KINDS)
    amount = MoneyFormField(label="Paid")
    on = day_field("On")
    words = forms.CharField(label="In words", max_length=120, required=False)

    def __init__(self, data=None, *, fair: Fair, shop: Workshop, **kwargs) -> None:
        super().__init__(data, auto_id="expense_%s", initial={"kind": "stall", "on": fair.first}, **kwargs)
        amount = self.fields["amount"]
        amount.exponent, amount.suffix = shop.currency_exponent, shop.currency_symbol

    def clean_amount(self):
        amount = self.cleaned_data["amount"]
        if amount is not None and amount <= 0:
            raise forms.ValidationError("That costs nothing. Write what was paid.")
        return amount


class HoursForm(ShopForm):
    act = "hours"
    day = forms.DateField(label="Day", widget=forms.Select)
    hours = NumberFormField(
        label="Hours there", most=24, suffix="h", help_text="Written anew they take the place of before."
    )

    def __init__(self, data=None, *, fair: Fair, shop: Workshop, **kwargs) -> None:
        days = days_of(fair)
        first = next((on for on, minutes in days if not minutes), days[0][0])
        super().__init__(data, auto_id="hours_%s", initial={"day": first.isoformat()}, **kwargs)
        self.fields["day"].widget.choices = [(on.isoformat(), f"{on:%a} {on.day} {on:%b}") for on, _ in days]

    @property
    def minutes(self) -> int:
        return round(self.cleaned_data["hours"] * 60)


COSTS = {form.act: form for form in (HoursForm, ExpenseForm)}
