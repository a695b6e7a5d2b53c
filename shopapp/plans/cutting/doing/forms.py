"""What is measured of the offcuts of a board that was cut: the planned ones stand ready, and room for others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django import forms

from shopapp.common.fields import LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.workshop.forms import unit_of

from .actions import Back
from .balance import size_of
from .planning import PlannedOffcut, rough_name

# Lines for what nobody planned.
MORE = 2
SIDES = ("length", "width", "thickness")
BACK, THROWN, LATER = "back", "thrown", "later"
FATES = [(BACK, "Back to the rack"), (THROWN, "Thrown away"), (LATER, "Not yet")]


NAMES = {
    "end": "end kept whole",
    "edge": "piece beside the strips",
    "tail": "end of a strip",
    "layer": "layer kept whole",
}


@dataclass(frozen=True)
class Row:
    """The fields of one offcut and what it is called; ``fate`` is None for one nobody planned."""

    number: int
    name: str
    fate: forms.BoundField | None
    sides: list[forms.BoundField]


class OffcutsForm(ShopForm):
    """Each planned offcut comes back as it is measured, is thrown away, or waits; others are measured beside them."""

    def __init__(self, data=None, *, piece: StockPiece, planned: Sequence[PlannedOffcut], shop, **kwargs) -> None:
        super().__init__(data, edit_version=piece.edit_version, **kwargs)
        self.piece = piece
        # Fields are named by what they are of: which offcuts wait may change while the page is open.
        self.planned = {one.ref: one for one in planned}
        self.more = [f"more-{n}" for n in range(1, MORE + 1)]
        self.unit_shown = unit_of(data, shop.unit)
        for n, (ref, one) in enumerate(self.planned.items(), start=1):
            self.fields[f"fate_{ref}"] = forms.ChoiceField(
                label=f"What becomes of offcut {n}", choices=FATES, initial=BACK
            )
            self._sides(
                n, ref, dict(zip(("thickness", "width", "length"), size_of(one, piece, shop.resaw_kerf), strict=True))
            )
        for n, ref in enumerate(self.more, start=len(self.planned) + 1):
            self._sides(n, ref, {"width": piece.width, "thickness": piece.thickness})

    def _sides(self, n: int, ref: str, sizes: dict) -> None:
        for side in SIDES:
            self.fields[f"{side}_{ref}"] = LengthFormField(
                label=f"{side.capitalize()} {n}", required=False, initial=sizes.get(side), unit=self.unit_shown
            )

    def rows(self) -> list[Row]:
        return [
            Row(
                n,
                f"{NAMES[one.kind]} of {rough_name(self.piece.mark, one.rough)}",
                self[f"fate_{ref}"],
                self._bound(ref),
            )
            for n, (ref, one) in enumerate(self.planned.items(), start=1)
        ]

    def others(self) -> list[Row]:
        return [Row(n, "", None, self._bound(ref)) for n, ref in enumerate(self.more, start=len(self.planned) + 1)]

    def _bound(self, ref: str) -> list[forms.BoundField]:
        return [self[f"{side}_{ref}"] for side in SIDES]

    def clean(self) -> dict:
        typed = super().clean()
        for ref in (*self.planned, *self.more):
            planned = ref in self.planned
            if planned and typed.get(f"fate_{ref}") != BACK:
                self._drop_errors(ref)
                continue
            for side in SIDES:
                value = typed.get(f"{side}_{ref}")
                if value and value > getattr(self.piece, side):
                    self.add_error(f"{side}_{ref}", f"{self.piece.mark} had less when it was taken. Measure it again.")
                elif planned and not value and not self.errors.get(f"{side}_{ref}"):
                    self.add_error(
                        f"{side}_{ref}", "Nothing is measured here. Write it, or say what else became of it."
                    )
        if not self.errors and not self.backs():
            self.add_error(None, "Nothing was said of any offcut. Confirm one, measure it, or throw it away.")
        return typed

    def _drop_errors(self, ref: str) -> None:
        """What does not come back need not be measured."""
        for side in SIDES:
            self.errors.pop(f"{side}_{ref}", None)

    def backs(self) -> list[Back]:
        """What was said, offcut by offcut; what waits is left out."""
        typed, said = self.cleaned_data, []
        for ref, one in self.planned.items():
            if typed[f"fate_{ref}"] == THROWN:
                said.append(Back(one, None))
            elif typed[f"fate_{ref}"] == BACK:
                said.append(Back(one, self._size(ref, sawn=one.kind == "layer")))
        return said + [Back(None, self._size(ref)) for ref in self.more if typed[f"length_{ref}"]]

    def _size(self, ref: str, *, sawn: bool = False) -> Size:
        """As measured; what is thinner than the board was is milled, and is not planed again before it is used, unless
        it is as the band saw left it."""
        typed = self.cleaned_data
        thickness = typed[f"thickness_{ref}"] or self.piece.thickness
        milled = False if sawn else True if thickness < self.piece.thickness else None
        return Size(thickness, typed[f"width_{ref}"] or self.piece.width, typed[f"length_{ref}"], milled)
