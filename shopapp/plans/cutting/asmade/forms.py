"""What is typed of a gauged tile, or of a row laid dry."""

from __future__ import annotations

from django import forms

from planner.measures import Length, format_length
from shopapp.common.fields import CountFormField, LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.plans.models import TileMeasured
from shopapp.workshop.forms import unit_of
from shopapp.workshop.models import Workshop

from .planning import Measured

# As many as a column of the table holds; how many a board has is told by its own reckoning.
MOST = 32767


class MeasuredForm(ShopForm):
    """``tile`` is what one tile should measure."""

    tiles = CountFormField(
        label="Tiles laid end to end",
        least=1,
        most=MOST,
        initial=1,
        help_text="1 for one tile in the gauge. A whole row tells more: what each is off adds up.",
    )
    length = LengthFormField(label="They measure")
    pieces = CountFormField(
        label="In how many pieces",
        least=1,
        most=MOST,
        required=False,
        help_text="Fewer than tiles where runs are among them; nothing for single tiles.",
    )
    width = LengthFormField(
        label="A gauged strip measures across",
        required=False,
        help_text="The narrowest, where rows differ. Every row follows it; nothing where it is as planned.",
    )
    keep = forms.ChoiceField(
        label="What stays as planned",
        choices=[
            (TileMeasured.Keep.BORDERS, "the borders"),
            (TileMeasured.Keep.SIZE, "the finished size"),
        ],
        help_text="With the borders kept, the board’s size follows; with the size kept, the borders make up for it.",
    )

    def __init__(self, data=None, *, tile: Length, shop: Workshop, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.unit_shown = unit_of(data, shop.unit)
        for name in ("length", "width"):
            self.fields[name].unit = self.unit_shown
        shown = format_length(tile, shop.unit)
        self.fields["length"].help_text = f"Without glue, pressed together by hand. One tile is planned {shown} long."

    @property
    def measured(self) -> Measured:
        typed = self.cleaned_data
        return Measured(typed["length"], typed["tiles"], typed["pieces"] or typed["tiles"], typed["width"])
