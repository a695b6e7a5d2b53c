"""What several forms about money ask: lines of what is paid for, a day, an amount."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import CountFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.common.numbers import whole_number

from .deals import DealLine

MOST_LINES = 20
_PARTS = ("words", "count", "each")


def day_field(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)


def past_day(on):
    """A day that is not to come and not so long ago that a slip of the year is likelier."""
    today = timezone.localdate()
    if on and on > today:
        raise forms.ValidationError("That day is still to come. Write the day it is written on, or one before.")
    if on and today - on > timedelta(days=3660):
        raise forms.ValidationError("That is more than ten years ago. Look at the year.")
    return on


class LinesForm(ShopForm):
    """Has a line of fields for each thing that is paid for; a line left empty is none. ``rows`` says how many lines
    the page shows; money is in the currency of ``money``, which is anything that has one."""

    rows = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, data=None, *, money, lines: tuple[DealLine, ...] = (), count: int = 0, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.count = count or _rows_typed(data) or min(len(lines) + 1, MOST_LINES)
        self.fields["rows"].initial = str(self.count)
        for n in range(1, self.count + 1):
            line = lines[n - 1] if n <= len(lines) else None
            self.fields[f"words_{n}"] = forms.CharField(
                label="What it is", max_length=200, required=False, initial=line and line.words
            )
            self.fields[f"count_{n}"] = CountFormField(
                label="How many", least=1, most=9999, required=False, initial=line.count if line else None
            )
            self.fields[f"each_{n}"] = MoneyFormField(
                label="Each",
                exponent=money.currency_exponent,
                suffix=money.currency_symbol,
                required=False,
                initial=line and line.each,
            )

    def line_fields(self) -> list[list[forms.BoundField]]:
        return [[self[f"{part}_{n}"] for part in _PARTS] for n in range(1, self.count + 1)]

    def other_fields(self) -> list[forms.BoundField]:
        return [field for field in self.visible_in_order() if field.name.rpartition("_")[0] not in _PARTS]

    @property
    def can_grow(self) -> bool:
        return self.count < MOST_LINES

    def grown(self) -> dict[str, object]:
        """What makes this form anew as it was typed, with room for another line and nothing said yet."""
        typed = {name: field.widget.value_from_datadict(self.data, {}, name) for name, field in self.fields.items()}
        return {"initial": typed, "count": min(self.count + 1, MOST_LINES)}

    def lines(self) -> tuple[DealLine, ...]:
        """What was typed, after ``clean``."""
        typed = self.cleaned_data
        return tuple(
            DealLine(typed[f"words_{n}"], typed[f"count_{n}"] or 1, typed[f"each_{n}"])
            for n in range(1, self.count + 1)
            if typed.get(f"words_{n}") and typed.get(f"each_{n}") is not None
        )

    def clean(self) -> dict:
        typed = super().clean()
        for n in range(1, self.count + 1):
            words, each = f"words_{n}", f"each_{n}"
            if words in self.errors or each in self.errors:
                continue
            if typed.get(words) and typed.get(each) is None:
                self.add_error(each, "Write what one of it costs, or empty the line.")
            elif not typed.get(words) and (typed.get(each) is not None or typed.get(f"count_{n}")):
                self.add_error(words, "Write what it is, or empty the line.")
        if not self.errors and not self.lines():
            self.add_error("words_1", "Write at least one line of what is paid for.")
        return typed


def _rows_typed(data) -> int:
    rows = whole_number(str((data or {}).get("rows", "")), 4)
    return 0 if rows is None else min(max(rows, 1), MOST_LINES)
