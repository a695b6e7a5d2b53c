"""A page's form as it is sent back: untouched, or with something odd in some of its fields."""

from __future__ import annotations

import secrets

from django import forms
from django.core.exceptions import ValidationError


def as_shown(form) -> dict[str, str]:
    """The form of a page as a browser would send it back untouched."""
    typed = {}
    for bound in form:
        value = bound.field.prepare_value(bound.value())
        if isinstance(bound.field, forms.BooleanField):
            typed |= {bound.name: "on"} if value else {}
        elif not isinstance(bound.field, forms.FileField):
            typed[bound.name] = "" if value is None else str(value)
    return {**typed, "form_key": secrets.token_urlsafe(24)}


def tellingly(form, typed: dict, odd: str) -> list[tuple[str, ...]]:
    """The names of a form's fields as ``odd`` is to be sent in them: together those that refuse it by themselves,
    whatever stands in the others; each of the rest alone."""
    refused, taken = [], []
    for name, field in form.fields.items():
        try:
            field.clean(field.widget.value_from_datadict({**typed, name: odd}, {}, name))
            taken.append((name,))
        except ValidationError:
            refused.append(name)
    return [tuple(refused)] * bool(refused) + taken
