"""What is asked of parts that are written down."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm
from shopapp.jobs.models import PartEntry

from .actions import MOST_AT_ONCE

Kind = PartEntry.Kind
_KINDS = [(Kind.SPOILED, "They are spoiled"), (Kind.BESIDES, "Wanted besides the plan"), (Kind.AGAIN, "Cut again")]


class PartsForm(ShopForm):
    """``parts`` to choose from, in groups, and whole ``rows``."""

    kind = forms.ChoiceField(label="What happened", choices=_KINDS, initial=Kind.SPOILED)
    part = forms.ChoiceField(label="Which part", help_text="Width gauged × length crosscut.")
    count = CountFormField(label="How many", least=1, most=MOST_AT_ONCE)
    why = forms.CharField(
        label="Why", max_length=160, required=False,
        help_text="Torn out, cut short, a trial for the oil. Of what was cut again nothing need be said.",
    )  # fmt: skip

    def __init__(
        self,
        data=None,
        *,
        parts: list[tuple[str, list[tuple[str, str]]]],
        rows: list[tuple[str, str]] = (),
        **kwargs,
    ) -> None:
        super().__init__(data, **kwargs)
        whole = [("Whole rows", rows)] if rows else []
        self.fields["part"].choices = [("", "Choose one"), *parts, *whole]

    def clean(self):
        typed = super().clean()
        if typed.get("kind") in (Kind.SPOILED, Kind.BESIDES) and "why" not in self.errors and not typed.get("why"):
            self.add_error("why", "It is not said why. Write a word or two.")
        return typed
