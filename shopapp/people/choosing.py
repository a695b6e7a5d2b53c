"""Choosing a person in any form: type a name, take one of those it may mean, or have it written down as somebody new.

    class OfferForm(ShopForm):
        person = PersonField(label="For whom", required=False)

    # in the action, inside its transaction: a row, made if the name was new, or nobody
    person = person_of(who, form.cleaned_data["person"])

``cleaned_data`` has a `Person`, a new name (str), or None. The list of those who match comes as one types; without
JavaScript the typed name is looked up when it is sent, and nobody is guessed at: where it may be one of several, the
form comes back with them to choose from. ``initial`` is a Person or a name.
"""

from __future__ import annotations

from dataclasses import dataclass

from django import forms
from django.template.loader import render_to_string
from django.urls import reverse

from shopapp.common.numbers import whole_number

from .known.actions import Written, person_of
from .known.readers import Candidate, candidates, found, known, named_alike
from .models import Person
from .words import folded, searched

__all__ = ["NEW", "PersonField", "Typed", "Written", "person_of", "who_may_be_meant"]
NEW = "new"
NAME_LENGTH = 80


@dataclass(frozen=True)
class Meant:
    """Those a typed name may mean, and which of them is taken: a key, NEW, or nothing yet."""

    typed: str
    rows: list[Candidate]
    taken: str


def who_may_be_meant(typed: str, taken: str = "") -> Meant:
    """Everybody of whom what was typed is written, those of a name like it first. At most four queries."""
    typed = " ".join(typed.split())
    if not typed or not searched(typed):
        return Meant("", [], "")
    alike = named_alike(typed)
    seen = {row.pk for row in alike}
    rows = [*alike, *(row for row in found(typed)[: 2 * len(seen) + 10] if row.pk not in seen)]
    same = [row for row in alike if folded(row.name) == folded(typed)]
    if not taken:
        taken = str(same[0].pk) if len(same) == 1 else "" if rows else NEW
    return Meant(typed, candidates(rows), taken)


class Typed(str):
    """What stands in the field, with what was taken of the list below it."""

    taken: str = ""

    @classmethod
    def of(cls, text: str, taken: str) -> Typed:
        made = cls(text)
        made.taken = taken
        return made


class PersonChoice(forms.Widget):
    """A line to type in, and below it those who may be meant."""

    def value_from_datadict(self, data, files, name: str) -> Typed:
        return Typed.of(str(data.get(name) or ""), str(data.get(f"{name}_is") or ""))

    def value_omitted_from_data(self, data, files, name: str) -> bool:
        return name not in data

    def render(self, name: str, value, attrs=None, renderer=None) -> str:
        attrs = self.build_attrs(self.attrs, attrs)
        context = {
            "name": name,
            "value": str(value or ""),
            "attrs": attrs,
            "id": attrs.get("id", f"id_{name}"),
            "look": f"{reverse('people:choose')}?as={name}",
            "meant": who_may_be_meant(str(value or ""), getattr(value, "taken", "")),
            "most": NAME_LENGTH,
        }
        return render_to_string("people/choice.html", context)


class PersonField(forms.Field):
    """See above."""

    widget = PersonChoice
    default_error_messages = {
        "nobody": "Nobody is named yet. Write a name.",
        "long": f"This is too long for a name. Write at most {NAME_LENGTH} characters.",
        "null": "There is a character in it that no text can hold. Type it anew.",
        "gone": "Who was chosen is not in the book any more. Choose once more.",
        "another": "It says “%(typed)s”, but %(chosen)s is chosen below. Choose who is meant.",
        "alike": "%(alike)s is in the book already. Choose them below, or say that it is somebody new.",
        "several": "There are %(count)s of that name. Choose which of them, or say that it is somebody new.",
    }

    def prepare_value(self, value):
        if isinstance(value, Person):
            return Typed.of(value.name, str(value.pk))
        return value

    def clean(self, value) -> Person | str | None:
        name = " ".join(str(value or "").split())
        if not name:
            if self.required:
                raise self._refused("nobody")
            return None
        if "\x00" in name:
            raise self._refused("null")
        taken = getattr(value, "taken", "")
        if taken and taken != NEW:
            return self._taken(name, taken)
        if len(name) > NAME_LENGTH:
            raise self._refused("long")
        return name if taken == NEW else self._named(name)

    def _taken(self, name: str, taken: str) -> Person:
        number = whole_number(taken)
        chosen = None if number is None else known().filter(pk=number).first()
        if chosen is None:
            raise self._refused("gone")
        # What was typed led to them, or names them: else one of the two is a slip.
        words, stands = searched(name), set(folded(chosen.name).split())
        if not all(word in chosen.folded for word in words) and not stands <= set(folded(name).split()):
            raise self._refused("another", typed=name, chosen=chosen.name)
        return chosen

    def _named(self, name: str) -> Person | str:
        """Nothing was chosen below: one of exactly that name is meant, nobody like it is somebody new."""
        alike = named_alike(name)
        same = [row for row in alike if folded(row.name) == folded(name)]
        if len(same) == 1:
            return same[0]
        if same:
            raise self._refused("several", count=len(same))
        if alike:
            raise self._refused("alike", alike=alike[0].name)
        return name

    def _refused(self, code: str, **more: object) -> forms.ValidationError:
        return forms.ValidationError(self.error_messages[code], code=code, params=more)
