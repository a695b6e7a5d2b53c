"""What the free pieces are narrowed by, and what is measured of a piece that comes back."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.workshop.forms import unit_of

MOST_PARTS = 6
SIDES = ("length", "width", "thickness")


class NarrowForm(ShopForm):
    """Narrows the free pieces; what is typed stands in the address. ``some`` are the woods that are wanted."""

    wood = forms.ChoiceField(label="Wood", required=False)
    least = LengthFormField(label="At least so long", required=False)

    def __init__(self, data=None, *, shop, woods: list, some: bool, **kwargs) -> None:
        super().__init__(data, auto_id="show_%s", **kwargs)
        first = [("", "The woods it needs"), ("every", "Every wood")] if some else [("", "Every wood")]
        self.fields["wood"].choices = [*first, *woods]
        self.fields["least"].unit = shop.unit


class BackForm(ShopForm):
    """The parts of a piece that come back, each measured; a part without a length is none."""

    def __init__(self, data=None, *, piece: StockPiece, shop, **kwargs) -> None:
        super().__init__(data, edit_version=piece.edit_version, **kwargs)
        self.piece = piece
        self.unit_shown = unit_of(data, shop.unit)
        for n in range(1, MOST_PARTS + 1):
            for side in SIDES:
                initial = None if side == "length" else getattr(piece, side)
                self.fields[f"{side}_{n}"] = LengthFormField(
                    label=f"{side.capitalize()} {n}", required=False, initial=initial, unit=self.unit_shown
                )

    def rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"{side}_{n}"] for side in SIDES] for n in range(1, MOST_PARTS + 1)]

    def parts(self) -> list[Size]:
        typed = self.cleaned_data
        return [
            Size(typed[f"thickness_{n}"] or self.piece.thickness, typed[f"width_{n}"] or self.piece.width, length)
            for n in range(1, MOST_PARTS + 1)
            if (length := typed[f"length_{n}"])
        ]

    def clean(self) -> dict:
        typed = super().clean()
        for n in range(1, MOST_PARTS + 1):
            for side in SIDES:
                value = typed.get(f"{side}_{n}")
                if value and value > getattr(self.piece, side):
                    self.add_error(
                        f"{side}_{n}", f"{self.piece.mark} itself had less when it was taken. Measure it again."
                    )
            other = [s for s in ("width", "thickness") if typed.get(f"{s}_{n}") not in (None, getattr(self.piece, s))]
            if other and not typed.get(f"length_{n}") and not self.errors.get(f"length_{n}"):
                self.add_error(f"length_{n}", f"Part {n} has no length. Measure it, or leave its sides as they were.")
        if not self.errors and not self.parts():
            self.add_error("length_1", "No part is measured. Write the length of at least one.")
        return typed
