"""Boards that get their numbers, and what is looked for among pieces."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm, speak_our_words
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece
from shopapp.quotes.forms import day_field

from .actions import MOST_AT_ONCE
from .instead import may_be_meant


class NumberForm(ShopForm):
    """Of a remake it is asked which piece it stands in for."""

    title = forms.CharField(label="What each is called", max_length=80)
    count = CountFormField(label="How many boards", least=1, most=MOST_AT_ONCE)
    made_on = day_field("Made on")
    spares = forms.CharField(
        label="Spare tiles kept", max_length=200, required=False, help_text="How many of which wood, and where they lie"
    )
    instead_of = forms.ModelChoiceField(
        label="It stands in for", queryset=Piece.objects.none(), required=False, empty_label="no other piece",
        help_text="Of several boards the first does.",
    )  # fmt: skip

    def __init__(self, data=None, *, job: Job, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["instead_of"].queryset = may_be_meant(job)
        if job.kind != Job.Kind.REMAKE:
            del self.fields["instead_of"]

    def clean_made_on(self):
        on = self.cleaned_data["made_on"]
        if on and on > timezone.localdate():
            raise forms.ValidationError("That day is still to come. Write it down when it is made.")
        return on


class PiecesForm(forms.Form):
    """Read from an address: what is not understood narrows nothing."""

    words = forms.CharField(label="Number or name", max_length=80, required=False)
    where = forms.ChoiceField(
        label="Where it is", choices=[("", "anywhere"), ("overdue", "overdue at a shop"), *Piece.Where.choices],
        required=False,
    )  # fmt: skip

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        speak_our_words(self.fields)

    def visible_in_order(self) -> list[forms.BoundField]:
        return list(self)
