"""On which day the shop's years begin."""

from __future__ import annotations

from calendar import month_name

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm

from .models import BookYear
from .period import Begins


class BeginsForm(ShopForm):
    day = CountFormField(label="Day", least=1, most=28, help_text="One that every month has, so 28 at most.")
    month = forms.TypedChoiceField(label="Month", coerce=int, choices=[(n, month_name[n]) for n in range(1, 13)])

    def __init__(self, data=None, *, row: BookYear, **kwargs) -> None:
        initial = {"day": row.day, "month": row.month}
        super().__init__(data, auto_id="begins_%s", initial=initial, edit_version=row.edit_version, **kwargs)

    def begins(self) -> Begins:
        return Begins(self.cleaned_data["month"], self.cleaned_data["day"])
