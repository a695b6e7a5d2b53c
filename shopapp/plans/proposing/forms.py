"""What is wished of a board that has no sizes yet. It is sent as an address, for it changes nothing."""

from __future__ import annotations

from datetime import date, timedelta

from django import forms

from shopapp.common.fields import CountFormField, LengthFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.plans.forms import USES
from shopapp.plans.timetable.forms import WEEKS
from shopapp.workshop.forms import unit_of

_NOTHING = "Say how large it may be, or what it may cost: one of these at least."


class WishesForm(ShopForm):
    length = LengthFormField(label="No wider than", required=False)
    height = LengthFormField(label="No higher than", required=False)
    budget = MoneyFormField(label="A board may cost", required=False, help_text="The price asked for one.")
    due = forms.DateField(
        label="Ready by",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is no day. Write it as 2026-12-18."},
    )
    distance = LengthFormField(label="Looked at from", required=False, help_text="Where it will hang, as 3 m or 10 ft.")
    use = forms.ChoiceField(label="Made to", choices=USES, initial="wall")
    border_wood = forms.ChoiceField(label="Border and background wood")
    quantity = CountFormField(label="How many boards", least=1, most=500, initial=1)

    def __init__(self, data=None, *, unit: str, woods: list[tuple[str, str]], today: date, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.today = today
        self.unit_shown = unit_of(data, unit)
        self.fields["border_wood"].choices = woods
        for name in ("length", "height", "distance"):
            self.fields[name].unit = self.unit_shown

    def clean_due(self) -> date | None:
        due = self.cleaned_data["due"]
        if due and not self.today < due <= self.today + timedelta(weeks=WEEKS):
            raise forms.ValidationError(f"Choose a day after today, within {WEEKS} weeks.")
        return due

    def clean(self) -> dict:
        typed = super().clean()
        if not self.errors and not any(typed.get(name) for name in ("length", "height", "budget")):
            self.add_error(None, _NOTHING)
        return typed
