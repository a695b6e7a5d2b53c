"""What is wished of a timetable: from when, what it is to be best at, with which glue and finish, what else with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from django import forms

from shopapp.common.forms import ShopForm

from .wanted import Other

AIMS = [
    ("soonest", "Done soonest"),
    ("fewest", "Fewest evenings"),
    ("by", "By a day, begun late"),
]
# How far ahead a timetable looks; what would take longer is said not to fit.
WEEKS = 26


def _day(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is no day. Write it as 2026-12-18."},
        **kwargs,
    )


class WishesForm(ShopForm):
    """Every choice is of rows the page offered; what does not fit together is said by the planner's own words."""

    first = _day("From", help_text="No session before this day is used.")
    aim = forms.ChoiceField(label="It should be", choices=AIMS, initial="soonest")
    due = _day("By", required=False, help_text="Cured, packed and with whoever gets it: the carrier's days count.")
    adhesive = forms.ChoiceField(
        label="Glue", help_text="Its times are those of its data sheet, as the workshop has them."
    )
    finish = forms.ChoiceField(label="Finish")
    in_hand = forms.BooleanField(
        label="The wood is here and settled", required=False, help_text="Else buying and settling come first."
    )
    together = forms.MultipleChoiceField(
        label="In the same evenings", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(
        self,
        data=None,
        *,
        today: date,
        adhesives: Sequence[tuple[str, str]],
        finishes: Sequence[tuple[str, str]],
        others: Sequence[Other],
        by_hand: bool = False,
        **kwargs,
    ) -> None:
        super().__init__(data, **kwargs)
        self.today, self.others = today, {other.key: other for other in others}
        if by_hand:
            self.fields["due"].help_text = "Cured, packed and handed over in person: no carrier has it."
        self.fields["adhesive"].choices = adhesives
        self.fields["finish"].choices = finishes
        self.fields["together"].choices = [(other.key, other.label) for other in others]
        self.fields["together"].error_messages["invalid_choice"] = "One of these is not offered any more. Choose again."

    def clean_first(self) -> date:
        first = self.cleaned_data["first"]
        if not self.today - timedelta(days=1) <= first <= self.today + timedelta(weeks=WEEKS):
            raise forms.ValidationError(f"Choose a day from today on, within {WEEKS} weeks.")
        return first

    def clean(self) -> dict:
        typed = super().clean()
        due, first = typed.get("due"), typed.get("first")
        if typed.get("aim") == "by":
            if "due" not in self.errors and due is None:
                self.add_error("due", "Write the day it has to be there by.")
            elif due and first and due <= first:
                self.add_error("due", "This day is not after the one it is begun on. Write a later one.")
            elif due and first and due > first + timedelta(weeks=WEEKS):
                self.add_error("due", f"Write a day within {WEEKS} weeks.")
        return typed

    def wishes(self) -> dict:
        """As they are kept, JSON-safe."""
        typed = self.cleaned_data
        return {
            "first": typed["first"].isoformat(),
            "aim": typed["aim"],
            "due": typed["due"].isoformat() if typed["due"] and typed["aim"] == "by" else None,
            "adhesive": typed["adhesive"],
            "finish": typed["finish"],
            "in_hand": typed["in_hand"],
            "together": sorted(typed["together"]),
        }

    @staticmethod
    def initial_of(wishes: Mapping, today: date) -> dict:
        """Wishes as a form begins with them; a day that is past is today."""
        first = date.fromisoformat(wishes["first"]) if wishes.get("first") else today
        return {
            **wishes,
            "first": max(first, today),
            "due": date.fromisoformat(wishes["due"]) if wishes.get("due") else None,
        }
