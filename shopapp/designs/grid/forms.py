"""What is sent when a grid is kept, and what is chosen when a picture is reduced to one."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm

from .steps import MOST_LETTERS, NotSteps, split


class _Carried(forms.CharField):
    """Words the page carries along; nobody types them, so what is wrong with them is said once, above the page."""

    widget = forms.HiddenInput

    def clean(self, value: object) -> str:
        return str(value or "")


class KeepGridForm(ShopForm):
    """Which grid the page was opened on (``base``, 0 for the reading) and the corrections made since (``steps``)."""

    base = _Carried(required=False)
    steps = _Carried(required=False)

    def clean(self) -> dict:
        cleaned = super().clean()
        base = cleaned["base"]
        if not (base.isascii() and base.isdigit() and len(base) < 6):
            raise forms.ValidationError("It is not said which grid this is. Load the page once more.")
        cleaned["base"] = int(base)
        try:
            split(cleaned["steps"][: MOST_LETTERS + 1])
        except NotSteps as error:
            raise forms.ValidationError(str(error)) from error
        return cleaned
