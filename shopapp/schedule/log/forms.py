"""What is asked of an entry in the time log."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction

from django import forms
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import MeasureError, parse_number, parse_percent
from shopapp.common.fields import MeasureFormField, plain_number
from shopapp.common.forms import ShopForm
from shopapp.people.models import Member

from .actions import TimeFacts
from .planning import OPERATIONS, WHOLE, operation_each, operation_words

# A board of two hundred by two hundred takes less.
MOST_MINUTES = 60_000
# Minutes that are written down with one press.
QUICK = (15, 30, 45, 60, 90, 120)
_CLOCK = re.compile(r"(\d{1,4})\s*(?::|h|hours?)\s*(\d{1,2})?\s*(?:m|min|minutes)?")
_MINUTES = re.compile(r"(\d{1,5})\s*(?:m|min|minutes)?")


def read_minutes(text: str) -> int:
    """Minutes as people write them. Raises MeasureError.

    >>> read_minutes("90"), read_minutes("1:30"), read_minutes("1 h 30 min"), read_minutes("2 h")
    (90, 90, 90, 120)
    """
    plain = " ".join(text.lower().split())
    if plain.isascii() and (read := _MINUTES.fullmatch(plain)):
        minutes = int(read[1])
    elif plain.isascii() and (read := _CLOCK.fullmatch(plain)) and int(read[2] or 0) < 60:
        minutes = int(read[1]) * 60 + int(read[2] or 0)
    else:
        raise MeasureError(f"“{text[:40]}” is no time.", mend="Write minutes like 90, or hours and minutes like 1:30.")
    if not 1 <= minutes <= MOST_MINUTES:
        raise MeasureError(f"“{text[:40]}” is out of reach.", mend=f"Write from 1 to {MOST_MINUTES} minutes.")
    return minutes


class MinutesFormField(MeasureFormField):
    suffix = "min"
    inputmode = "text"

    def read(self, text: str) -> int:
        return read_minutes(text)


class AmountFormField(MeasureFormField):
    """How much of an operation was done: a count, or a share with its sign."""

    inputmode = "text"

    def read(self, text: str) -> Fraction | str:
        if text.strip().endswith("%"):
            share = parse_percent(text, least=0, most=1000)
            return f"{_some(share, text)} of it"
        return _some(parse_number(text, least=0, most=1_000_000), text)


def _some(amount: Fraction, text: str) -> Fraction:
    """``amount`` to six decimals, which is as much as is kept."""
    kept = Fraction(round(amount * 10**6), 10**6)
    if not kept:
        raise MeasureError(f"“{text.strip()}” is nothing done.", mend="Write how much was done, or leave it empty.")
    return kept


class OneOf(forms.RadioSelect):
    """Choices of which the first is what an error's link leads to."""

    def id_for_label(self, id_: str, index: str | None = None) -> str:
        return super().id_for_label(id_, index or "0")


class TimeForm(ShopForm):
    """``planned`` are the counts of the work's plan; without one every operation is offered. ``members`` may have done
    it; none where the one who writes is meant."""

    operation = forms.ChoiceField(
        label="At what",
        widget=OneOf,
        error_messages={"required": "Nothing is chosen yet. Choose what was done."},
    )
    minutes = MinutesFormField(label="How long", help_text="Minutes, or hours and minutes like 1:30.")
    finishes = forms.BooleanField(
        label="That finishes it",
        required=False,
        help_text="All of it is done on this piece of work; from then on its time is learned from.",
    )
    count = AmountFormField(
        label="How much of it",
        required=False,
        help_text="Empty: not counted. Else how many, or a share like 50 %.",
    )
    on = forms.DateField(
        label="On",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is no day. Write it like 2026-12-24."},
    )
    by = forms.ChoiceField(label="By", required=False)
    note = forms.CharField(label="Note", max_length=120, required=False)

    def __init__(self, data=None, *, planned: Mapping[str, Fraction], members: list[Member], **kwargs) -> None:
        initial = {"on": timezone.localdate(), **kwargs.pop("initial", {})}
        super().__init__(data, initial=initial, **kwargs)
        self.planned = planned
        first = [key for key in (one.key for one in OPERATIONS) if key in planned or not planned]
        others = [one.key for one in OPERATIONS if one.key not in first]
        self.first_operations = [*first, WHOLE]
        self.fields["operation"].choices = [(key, operation_words(key)) for key in [*self.first_operations, *others]]
        self.members = {str(member.pk): member for member in members}
        if len(members) > 1:
            self.fields["by"].choices = [(key, member.get_username()) for key, member in self.members.items()]
        else:
            del self.fields["by"]

    @property
    def has_others(self) -> bool:
        return len(self.fields["operation"].choices) > len(self.first_operations)

    @property
    def other_chosen(self) -> bool:
        chosen = self["operation"].value()
        return bool(chosen) and chosen not in self.first_operations

    def clean_on(self) -> date:
        on, today = self.cleaned_data["on"], timezone.localdate()
        if on > today + timedelta(days=1):
            raise forms.ValidationError("That day has not come. Write the day the work was done.")
        if on.year < 1900:
            raise forms.ValidationError("That is no day of this book. Look at the year.")
        return on

    def clean(self) -> dict:
        typed = super().clean()
        operation, count = typed.get("operation"), typed.get("count")
        if operation and count is not None:
            try:
                typed["count"] = self._counted(operation, count)
            except PlannerError as error:
                self.add_error("count", str(error))
        return typed

    def _counted(self, operation: str, count: Fraction | str) -> Fraction:
        """A count as it was typed; a share, of what the plan has."""
        if operation == WHOLE:
            if not isinstance(count, str):
                raise MeasureError(
                    "The whole board is told in shares.", mend="Write a share like 50 %, or leave it empty."
                )
            return Fraction(count.split()[0])
        if isinstance(count, str):
            if operation not in self.planned:
                raise MeasureError(
                    "No plan says how much there is of it.",
                    mend=f"Write how many: a number of “{operation_each(operation)}”.",
                )
            return _some(Fraction(count.split()[0]) * self.planned[operation], count)
        return count

    def facts(self, who: Member) -> TimeFacts:
        typed = self.cleaned_data
        by = self.members.get(typed.get("by") or "", who)
        return TimeFacts(
            typed["operation"], typed["minutes"], typed["on"], typed["finishes"], typed["count"], by, typed["note"]
        )


def typed_amount(operation: str, count: Fraction) -> str:
    """A count as it might have been typed."""
    return f"{plain_number(count * 100)} %" if operation == WHOLE else plain_number(count, 6)
