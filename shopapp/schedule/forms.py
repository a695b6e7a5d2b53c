"""Hours of the week and days that are different: what is asked of each."""

from __future__ import annotations

import re
from datetime import date, timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm

from .models import SessionException, ShopSession
from .models.hours import DAY, clock

_TIME = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?")
MOST_PEOPLE = 50
# By the text a browser sends, so that what was typed and what stands are told in the same words.
_WEEKDAYS = [(str(day), name) for day, name in ShopSession.Weekday.choices]
# Longer ahead, or longer away, a slip of the year is likelier.
MOST_DAYS_AHEAD = 3 * 366
MOST_DAYS_AWAY = 366


class ClockFormField(forms.CharField):
    """A time of day, given as minutes from midnight. ``ends`` reads 0:00 as the midnight that ends the day."""

    def __init__(self, *, ends: bool = False, **kwargs) -> None:
        self.ends = ends
        super().__init__(max_length=40, widget=forms.TextInput(attrs={"type": "time"}), **kwargs)

    def prepare_value(self, value):
        return clock(value % DAY) if isinstance(value, int) else value

    def clean(self, value) -> int | None:
        text = super().clean(value).strip()
        if not text:
            return None
        read = _TIME.fullmatch(text) if text.isascii() else None
        minutes = int(read[1]) * 60 + int(read[2] or 0) if read else DAY + 1
        if minutes > DAY or (read and int(read[2] or 0) > 59):
            raise forms.ValidationError("This is no time of day. Write it like 19:00.")
        return DAY if self.ends and minutes == 0 else minutes


class HoursForm(ShopForm):
    """From, to, and how many are there."""

    starts = ClockFormField(label="From", help_text="When hands are free to begin, coat off and lights on.")
    ends = ClockFormField(label="To", ends=True, help_text="When they have to stop. 0:00 is midnight.")
    people = CountFormField(
        label="People there",
        least=1,
        most=MOST_PEOPLE,
        initial=1,
        help_text="How many can work at once.",
    )

    def clean(self) -> dict:
        typed = super().clean()
        starts, ends = typed.get("starts"), typed.get("ends")
        if starts is not None and ends is not None and ends <= starts:
            self.add_error(
                "ends",
                f"{clock(ends)} is not after {clock(starts)}. Write a later time; what goes on after midnight is an "
                "evening and a morning of its own.",
            )
        return typed

    def values(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in self.fields if name not in ("form_key", "edit_version")}


class _Who(HoursForm):
    who = forms.CharField(
        label="Who", max_length=80, required=False, help_text="Only for the page: names of your own people."
    )


class _Boxes(forms.CheckboxSelectMultiple):
    """The summary of what is to be mended leads to the first of them."""

    def id_for_label(self, id_: str, index: str | None = None) -> str:
        return super().id_for_label(id_, index or "0")


class AddSessionForm(_Who):
    """The same hours on several weekdays at once."""

    weekdays = forms.MultipleChoiceField(
        label="On",
        choices=_WEEKDAYS,
        widget=_Boxes,
        error_messages={"required": "No day is ticked. Tick the days these hours are on."},
    )
    field_order = ["weekdays", "starts", "ends", "people", "who"]

    def days(self) -> list[int]:
        return sorted({int(day) for day in self.cleaned_data["weekdays"]})

    def values(self) -> dict[str, object]:
        return {name: value for name, value in super().values().items() if name != "weekdays"}


class SessionForm(_Who):
    weekday = forms.TypedChoiceField(label="On", choices=_WEEKDAYS, coerce=int)
    field_order = ["weekday", "starts", "ends", "people", "who"]

    @staticmethod
    def of(row: ShopSession, data=None) -> SessionForm:
        names = ("weekday", "starts", "ends", "people", "who")
        initial = {**{name: getattr(row, name) for name in names}, "weekday": str(row.weekday)}
        return SessionForm(data, edit_version=row.edit_version, initial=initial)


def _day(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is no day. Write it like 2026-12-24."},
        **kwargs,
    )


class ExceptionForm(HoursForm):
    """Days on which the week's hours do not stand."""

    first = _day("Day", help_text="The first of them, or the only one.")
    last = _day("To and with", required=False, help_text="Empty where it is that one day.")
    reason = forms.CharField(
        label="Why", max_length=120, required=False, help_text="Shown beside the days: a market, a holiday."
    )
    field_order = ["first", "last", "starts", "ends", "people", "reason"]

    def __init__(self, data=None, **kwargs) -> None:
        super().__init__(data, **kwargs)
        for name, words in (
            ("starts", "Leave both times empty where nobody is in the shop."),
            ("ends", "Instead of the week's own hours. 0:00 is midnight."),
        ):
            self.fields[name].required = False
            self.fields[name].help_text = words

    @staticmethod
    def of(row: SessionException, data=None) -> ExceptionForm:
        names = ("first", "last", "starts", "ends", "people", "reason")
        initial = {name: getattr(row, name) for name in names}
        if row.last == row.first:
            initial["last"] = None
        return ExceptionForm(data, edit_version=row.edit_version, initial=initial)

    def clean_first(self) -> date:
        first, today = self.cleaned_data["first"], timezone.localdate()
        if abs(first - today) > timedelta(days=MOST_DAYS_AHEAD):
            raise forms.ValidationError("That is more than three years from today. Look at the year.")
        return first

    def clean(self) -> dict:
        typed = super().clean()
        first, last = typed.get("first"), typed.get("last")
        if first and last and last < first:
            self.add_error("last", "This day is before the first. Write a later one, or leave it empty.")
        elif first and last and (last - first).days > MOST_DAYS_AWAY:
            self.add_error("last", "That is more than a year. Look at the year, or change the week's own hours.")
        if not {"starts", "ends"} & self.errors.keys() and (typed.get("starts") is None) != (typed.get("ends") is None):
            missing = "starts" if typed.get("starts") is None else "ends"
            self.add_error(missing, "One time is missing. Write it, or empty the other where nobody is there.")
        return typed

    def values(self) -> dict[str, object]:
        typed = super().values()
        return {**typed, "last": typed["last"] or typed["first"]}
