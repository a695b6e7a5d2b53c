"""What is sent to keep a drawing from the bench, and what a blank grid starts from."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm
from shopapp.common.numbers import whole_number

from .planning import LARGEST_SIDE

# A row of two hundred runs with long names, two hundred times, stays under it.
MOST_TEXT = 1_000_000


class DrawingNumberField(forms.CharField):
    """The drawing a bench began from, or nothing. Nobody types it: what is no number counts as none that exists."""

    widget = forms.HiddenInput

    def clean(self, value: object) -> int | None:
        text = str(value or "").strip()
        if not text:
            return None
        return whole_number(text, 9) or 0


class BenchForm(ShopForm):
    """A pattern in its text form, the name it is kept under, and the drawing it was drawn from."""

    pattern = forms.CharField(
        label="Rows of the pattern",
        max_length=MOST_TEXT,
        widget=forms.Textarea(attrs={"rows": 12, "spellcheck": "false", "autocomplete": "off"}),
        help_text="A line a row, runs from the left: “2 -, 3 walnut-black” is two of background, then three of walnut.",
        error_messages={"required": "There are no rows. Write at least one, like “3 beech”."},
    )
    name = forms.CharField(
        label="Name of this drawing",
        max_length=60,
        required=False,
        help_text="Not needed; it has its number.",
    )
    parent = DrawingNumberField(required=False)


class BlankForm(ShopForm):
    """A grid of background to draw on."""

    name = forms.CharField(
        label="Name",
        max_length=80,
        help_text="What you would call the board.",
        error_messages={"required": "Give the design a name, so that you find it again."},
    )
    rows = CountFormField(label="Rows", least=1, most=LARGEST_SIDE, initial=16)
    columns = CountFormField(
        label="Tiles in a row",
        least=1,
        most=LARGEST_SIDE,
        initial=16,
        help_text="Both can be changed at the bench.",
    )
