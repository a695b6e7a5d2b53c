"""What is written of a person, and the word that confirms an erasure."""

from __future__ import annotations

import re

from django import forms
from django.core.validators import validate_email

from shopapp.common.forms import ShopForm
from shopapp.people.models import Person, Way

from .actions import Written

MOST_WAYS = 12
_DIGITS = re.compile(r"\d")
_PHONE = re.compile(r"[\d\s()./+-]+")
Kind = Way.Kind
_FIRST_KINDS = (Kind.MAIL, Kind.PHONE)


class PersonForm(ShopForm):
    """Ways stand in rows: one that is emptied goes, two more are there to be filled."""

    name = forms.CharField(label="Name", max_length=80)
    address = forms.CharField(label="Address", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 4}))
    notes = forms.CharField(
        label="Notes",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="For the shop alone. They are given out with the rest when the person asks what you hold.",
    )

    def __init__(self, data=None, *, rows: int = 2, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.rows = min(max(rows, _rows_sent(data)), MOST_WAYS)
        for at in range(1, self.rows + 1):
            kind = _FIRST_KINDS[at - 1] if at <= len(_FIRST_KINDS) else Kind.OTHER
            self.fields[f"kind_{at}"] = forms.ChoiceField(
                label=f"Way {at}", choices=Kind.choices, initial=kind, required=False
            )
            self.fields[f"way_{at}"] = forms.CharField(label=f"Way {at}, its words", max_length=254, required=False)
        ways = [name for at in range(1, self.rows + 1) for name in (f"kind_{at}", f"way_{at}")]
        self.order_fields(["name", *ways, "address", "notes"])

    def pairs(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"kind_{at}"], self[f"way_{at}"]) for at in range(1, self.rows + 1)]

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())

    def clean(self) -> dict:
        for at in range(1, self.rows + 1):
            words, kind = self.cleaned_data.get(f"way_{at}", ""), self.cleaned_data.get(f"kind_{at}")
            if words and (trouble := _trouble(kind, words)):
                self.add_error(f"way_{at}", trouble)
        return self.cleaned_data

    def written(self) -> Written:
        typed = self.cleaned_data
        ways = [
            (typed[f"kind_{at}"] or Kind.OTHER, typed[f"way_{at}"])
            for at in range(1, self.rows + 1)
            if typed[f"way_{at}"]
        ]
        # Browsers send lines with two signs each; in the book a line ends with one.
        address, notes = (typed[name].replace("\r\n", "\n") for name in ("address", "notes"))
        return Written(typed["name"], address, notes, ways)

    @staticmethod
    def of(person: Person, data=None, *, rows: int = 0) -> PersonForm:
        ways = list(person.ways.all())
        initial = {"name": person.name, "address": person.address, "notes": person.notes}
        for at, way in enumerate(ways, start=1):
            initial |= {f"kind_{at}": way.kind, f"way_{at}": way.words}
        return PersonForm(data, rows=max(rows, len(ways) + 2), initial=initial, edit_version=person.edit_version)


def _rows_sent(data) -> int:
    """How many rows a sent form had, as far as anybody could have been given."""
    return max((at for at in range(1, MOST_WAYS + 1) if data and f"way_{at}" in data), default=0)


def _trouble(kind: str | None, words: str) -> str:
    """What is wrong with a way to reach somebody; "" where nothing is."""
    if kind == Kind.MAIL:
        try:
            validate_email(words)
        except forms.ValidationError:
            return "This is no e-mail address. Write it like name@place.example, or choose another way."
    if kind == Kind.PHONE:
        if "@" in words:
            return "This looks like an e-mail address. Choose e-mail, or write a number."
        if not _PHONE.fullmatch(words) or len(_DIGITS.findall(words)) < 3:
            return "This is no number to call. Write digits, with + and blanks where you like, or choose another way."
    return ""


class EraseForm(ShopForm):
    typed = forms.CharField(label="Type it here", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "off"}))

    def __init__(self, data=None, *, name: str, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["typed"].label = f"Type {name} to confirm"
