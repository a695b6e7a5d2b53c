"""The board as it is asked for: use, sizes, borders, method, how many, and what is to be kept."""

from __future__ import annotations

from fractions import Fraction

from django import forms

from planner.measures import round_half_up
from shopapp.common.fields import CountFormField, LengthFormField, MoneyFormField, PercentFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import unit_of
from shopapp.workshop.models import Workshop

from .details import DETAILS, TicksField, note_of

USES = [("wall", "hang on a wall"), ("serving", "serve dry food on"), ("trivet", "stand hot things on")]
METHODS = [
    ("runs", "runs along the rows"),
    ("deep", "runs in deep rows"),
    ("tiles", "single tiles"),
    ("panels", "panels, end grain up"),
]
ASKS = [("margin", "% of the price"), ("markup", "% on the cost"), ("profit", "a sum of money")]
_MONEY_PLACES = 4
ALONG = [("rows", "from side to side"), ("columns", "upright")]


class KeptMoneyField(MoneyFormField):
    """A sum to keep, which is told as an exact number like the shares that may stand in its place."""

    def show(self, value) -> str:
        return super().show(round_half_up(value, _MONEY_PLACES))


def _kept_field(asks: str, workshop: Workshop) -> forms.Field:
    """The field of what is to be kept, which reads what it is counted as."""
    if asks == "profit":
        money = {"exponent": workshop.currency_exponent, "suffix": workshop.currency_symbol}
        return KeptMoneyField(label="Yours to keep", **money)
    return PercentFormField(label="Yours to keep", least=0, most=99_999 if asks == "markup" else 99)


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
    margin = PercentFormField(label="Yours to keep", least=0, most=99)
    asks = forms.ChoiceField(
        label="Counted as",
        choices=ASKS,
        initial="margin",
        required=False,
        help_text="Both margin and markup stand beside the price, whichever you ask.",
    )
    details = TicksField(label="Details", choices=[(key, kind.words) for key, kind in DETAILS.items()])

    def __init__(self, data=None, *, unit: str, woods: list[tuple[str, str]], workshop: Workshop, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.unit_shown = unit_of(data, unit)
        asks = (data or {}).get("asks", "margin") if data is not None else self.initial.get("asks", "margin")
        self.fields["margin"] = _kept_field(asks, workshop)
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

    def clean_margin(self) -> Fraction:
        """A share, or money where that is asked: exact either way."""
        return Fraction(self.cleaned_data["margin"])

    def clean_asks(self) -> str:
        """Addresses of before one could choose do not say."""
        return self.cleaned_data["asks"] or "margin"

    def clean_along(self) -> str:
        """Addresses of before rows could stand upright do not say."""
        return self.cleaned_data["along"] or "rows"
