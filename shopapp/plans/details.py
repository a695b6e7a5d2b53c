"""Details of a board as they are ticked: one text of keys in an address, and what each needs in words."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms
from django.http import QueryDict

from planner.measures import format_length

from .planning import DETAILS, DetailKind

__all__ = ["DETAILS", "TicksField", "note_of", "ticked"]

_PLACES = {
    "all": "every border",
    "strong": "borders along the rows",
    "top": "top border",
    "bottom": "bottom border",
}


class Ticks(forms.CheckboxSelectMultiple):
    """Several boxes of one name, or one text with commas between, as an address carries them."""

    def value_from_datadict(self, data, files, name):
        given = data.getlist(name) if isinstance(data, QueryDict) else data.get(name)
        return _keys(given)

    def format_value(self, value):
        return _keys(value)

    def id_for_label(self, id_, index=None):
        # A summary of errors leads to the first box.
        return super().id_for_label(id_, index or "0")


class TicksField(forms.MultipleChoiceField):
    widget = Ticks

    def __init__(self, **kwargs) -> None:
        super().__init__(required=False, **kwargs)

    def prepare_value(self, value) -> str:
        return ",".join(_keys(value))

    def clean(self, value) -> tuple[str, ...]:
        return tuple(super().clean(value))


def ticked(data: QueryDict) -> str:
    """The details ticked in ``data`` as one text."""
    return ",".join(_keys(data.getlist("details")))


def note_of(kind: DetailKind, unit: str) -> str:
    """For which use it is and which border it needs: "to serve dry food on, or as a trivet; every border 25 mm"."""
    notes = [] if len(kind.uses) == 3 else [kind.for_whom]
    if kind.place:
        notes.append(f"{_PLACES[kind.place]} from {format_length(kind.border, unit)}")
    return "; ".join(notes)


def _keys(value: object) -> list[str]:
    if value in (None, ""):
        return []
    texts: Iterable[object] = [value] if isinstance(value, str) else value  # type: ignore[assignment]
    keys = (key.strip() for text in texts for key in str(text).split(","))
    return list(dict.fromkeys(key for key in keys if key))
