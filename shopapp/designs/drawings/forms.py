"""The name of a drawing, the one thing of it that may change."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm


class NameForm(ShopForm):
    """``was`` is the name the form was opened with, so that nobody's naming is undone unseen."""

    name = forms.CharField(
        label="Name of this drawing",
        max_length=60,
        required=False,
        help_text="What tells it apart from the others; left empty it goes by its number.",
    )
    was = forms.CharField(widget=forms.HiddenInput, required=False)
