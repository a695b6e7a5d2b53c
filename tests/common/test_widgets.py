"""Inputs that are written without a template read as the framework's templates write them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates
from django.utils.functional import lazystr
from django.utils.safestring import mark_safe

from shopapp.common.widgets import WRITTEN, Renderer

NEVER_A_TEMPLATE = [
    forms.TextInput, forms.NumberInput, forms.EmailInput, forms.URLInput, forms.PasswordInput, forms.HiddenInput,
    forms.DateInput, forms.TimeInput, forms.FileInput, forms.CheckboxInput, forms.Textarea, forms.Select,
]  # fmt: skip
OTHERS = [forms.RadioSelect, forms.CheckboxSelectMultiple, forms.ClearableFileInput]
VALUES = [
    None, "", " ", "0", 0, 1, 1234.5, True, False, Decimal("12.50"), date(2026, 11, 29), '<b>&"\'', "a\x00b\r\n🪵",
    "x" * 900, lazystr("<later>"), mark_safe("<b>kept</b>"), ["b"], "walnut",
]  # fmt: skip
ATTRS = [
    None,
    {"id": "id_x", "aria-describedby": "id_x_hint id_x_error", "aria-invalid": "true"},
    {
        "hidden": True,
        "open": False,
        "rows": 3,
        "data-said": '"<&>',
        "title": mark_safe("&amp;"),
        "class": lazystr("a<b"),
    },
]
CHOICES = [
    ("", "none"),
    (0, 0),
    (1234, Decimal("1234.50")),
    (True, "yes <b>"),
    ("walnut", lazystr("Black & white")),
    ("b", mark_safe("<b>as it is</b>")),
    ("Hard <woods>", [("oak", "oak"), ('"', "quoted")]),
    (lazystr("Soft"), [("pine", date(2026, 11, 29))]),
]


class WithItsOwnOptions(forms.Select):
    option_template_name = "django/forms/widgets/radio_option.html"


def both(widget, name: str, value: object, attrs: dict | None) -> list[str]:
    """What the framework makes of a widget, and what the shop does."""
    given = {"choices": CHOICES} if issubclass(widget, forms.widgets.ChoiceWidget) else {}
    return [widget(**given).render(name, value, attrs, renderer()) for renderer in (DjangoTemplates, Renderer)]


@pytest.mark.parametrize("widget", [*NEVER_A_TEMPLATE, *OTHERS, WithItsOwnOptions], ids=lambda one: one.__name__)
def test_it_reads_as_the_framework_s_template_writes_it(widget):
    for value in VALUES:
        for attrs in ATTRS:
            theirs, ours = both(widget, 'a"<b', value, attrs)
            assert ours == theirs, (value, attrs)
            assert type(ours) is type(theirs)


def test_an_option_that_may_not_be_chosen_says_so():
    class Some(forms.Select):
        def create_option(self, *arguments, **named):
            option = super().create_option(*arguments, **named)
            option["attrs"]["disabled"] = option["label"] == "none"
            return option

    theirs, ours = both(Some, "x", "b", None)
    assert ours == theirs
    assert ours.count(" disabled") == ours.count(" selected") == 1


def test_forms_of_the_shop_are_written_by_it():
    class Asked(forms.Form):
        name = forms.CharField()

    assert isinstance(Asked().renderer, Renderer)
    assert {widget.template_name for widget in NEVER_A_TEMPLATE} == set(WRITTEN)
