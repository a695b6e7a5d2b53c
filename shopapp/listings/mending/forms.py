"""Why an entry of money was wrong, and what it was instead."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.listings.selling.forms import no_day_to_come
from shopapp.quotes.forms import day_field


class MendForm(ShopForm):
    why = forms.CharField(label="Why it was wrong", max_length=200)
    instead = MoneyFormField(
        label="What it was instead", required=False, help_text="Empty where it was nothing at all."
    )
    on = day_field(
        "Counts on",
        help_text="Its own day; today, where the books of that day are handed in and are to stay as they are.",
    )

    def __init__(self, data=None, *, row: object, money: object, **kwargs) -> None:
        super().__init__(data, auto_id="mend_%s", initial={"on": row.on}, **kwargs)
        amount = self.fields["instead"]
        amount.exponent, amount.suffix = money.currency_exponent, money.currency_symbol

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"], "it is over")

    def typed(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in ("why", "instead", "on")}
