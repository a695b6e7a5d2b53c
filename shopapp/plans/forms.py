"""The board as it is asked for: use, sizes, borders, method, how many, and the margin wanted."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField, LengthFormField, PercentFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import unit_of

from .details import DETAILS, TicksField, note_of

USES = [("wall", "hang on a wall"), ("serving", "serve dry food on"), ("trivet", "stand hot things on")]
METHODS = [
    ("runs", "runs along the rows"),
    ("deep", "runs in deep rows"),
    ("tiles", "single tiles"),
    ("panels", "panels, end grain up"),
]
ALONG = [("rows", "from side to side"), ("columns", "upright")]


class BoardForm(ShopForm):
    """Every field is read back exactly as typed; what a board cannot be is said by the planner's own words."""

    use = forms.ChoiceField(
        label="Made to", choices=USES, initial="wall", help_text="Decides which cautions belong to its woods."
    )
    pitch = LengthFormField(label="Pitch of a tile", help_text="From one tile's edge to the next one's.")
    thickness = LengthFormField(label="Finished thickness")
    side_border = LengthFormField(label="Side borders, each", allow_zero=True)
    end_border = LengthFormField(label="Top and bottom borders, each", allow_zero=True)
    border_wood = forms.ChoiceField(label="Border and background wood")
    method = forms.ChoiceField(
        label="Built as",
        choices=METHODS,
        initial="runs",
        help_text="Deep rows: equal neighbouring rows made as one. Panels: strips glued side by side, sliced, and the "
        "slices turned so that their grain stands on end.",
    )
    along = forms.ChoiceField(
        label="Rows run",
        choices=ALONG,
        initial="rows",
        required=False,
        help_text="All grain runs along the rows. Upright, the borders at top and bottom are glued in the rows.",
    )
    quantity = CountFormField(label="How many boards", least=1, most=500, initial=1)
    margin = PercentFormField(label="Margin, of the price", least=0, most=99)
    details = TicksField(label="Details", choices=[(key, kind.words) for key, kind in DETAILS.items()])

    def __init__(self, data=None, *, unit: str, woods: list[tuple[str, str]], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.unit_shown = unit_of(data, unit)
        self.fields["border_wood"].choices = woods
        self.fields["border_wood"].error_messages["invalid_choice"] = (
            "This wood is not on hand. Choose one of the woods on hand, or add it first."
        )
        for name in ("pitch", "thickness", "side_border", "end_border"):
            self.fields[name].unit = self.unit_shown

    def plain_fields(self) -> list[forms.BoundField]:
        return [bound for bound in self.visible_in_order() if bound.name != "details"]

    def detail_ticks(self) -> list[tuple[forms.BoundWidget, str]]:
        """A box for each detail, and what it needs."""
        notes = (note_of(kind, self.unit_shown) for kind in DETAILS.values())
        return list(zip(self["details"], notes, strict=True))

    def clean_along(self) -> str:
        """Addresses of before rows could stand upright do not say."""
        return self.cleaned_data["along"] or "rows"
