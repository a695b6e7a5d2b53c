"""What the list of the rack is narrowed by, and a small form for each thing that can be done with a piece."""

from __future__ import annotations

from django import forms

from planner.measures import Length
from shopapp.common.fields import LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.workshop.forms import unit_of

from .lists import FIT

MOST_PARTS = 4
ANYBODY = "any"


class FilterForm(ShopForm):
    """Narrows the list; all of it may stay empty. What is typed stands in the address."""

    wood = forms.ChoiceField(label="Wood", required=False)
    least = LengthFormField(label="At least so long", required=False)
    most = LengthFormField(label="At most so long", required=False)
    place = forms.ChoiceField(label="Lies", required=False)
    to = forms.ChoiceField(label="Promised to", required=False)
    fit = forms.ChoiceField(label="Fit to mill", required=False, choices=[("", "Whether or not"), *FIT.items()])
    lot = forms.RegexField(r"^[0-9]{1,17}$", required=False, widget=forms.HiddenInput)
    mark = forms.CharField(label="Mark or number", max_length=12, required=False)
    free = forms.BooleanField(label="Free only", required=False)

    def __init__(
        self, data=None, *, shop, woods: list[tuple[str, str]], places: list[str], demands: list, **kwargs
    ) -> None:
        super().__init__(data, auto_id="show_%s", **kwargs)
        self.fields["wood"].choices = [("", "Every wood"), *woods]
        self.fields["place"].choices = [("", "Everywhere"), *((place, place) for place in places)]
        self.fields["to"].choices = [("", "Whomever"), (ANYBODY, "Anybody at all"), *demands]
        self.fields["least"].unit = self.fields["most"].unit = shop.unit
        self.fields["mark"].widget.attrs["autocomplete"] = "off"


class PieceForm(ShopForm):
    """One thing that can be done with a piece. ``act`` names it in the address and in the ids of its fields."""

    act = ""
    title = ""
    button = ""

    def __init__(self, data=None, *, piece: StockPiece, shop, **kwargs) -> None:
        super().__init__(data, auto_id=f"{self.act}_%s", edit_version=piece.edit_version, **kwargs)
        self.piece = piece
        self.unit_shown = unit_of(data, shop.unit)
        for field in self.fields.values():
            if isinstance(field, LengthFormField):
                field.unit = self.unit_shown


class SplitForm(PieceForm):
    act, title, button = "split", "Split it", "Split it"

    def __init__(self, data=None, *, piece: StockPiece, **kwargs) -> None:
        super().__init__(data, piece=piece, **kwargs)
        for n in range(1, MOST_PARTS + 1):
            self.fields[f"length_{n}"] = LengthFormField(label=f"Length {n}", required=False)
            self.fields[f"width_{n}"] = LengthFormField(label=f"Width {n}", required=False, initial=piece.width)
            self.fields[f"thickness_{n}"] = LengthFormField(
                label=f"Thickness {n}", required=False, initial=piece.thickness
            )
            for side in ("length", "width", "thickness"):
                self.fields[f"{side}_{n}"].unit = self.unit_shown

    def parts(self) -> list[Size]:
        """Every part that has a length, its other sides the piece's own where nothing is written."""
        typed = self.cleaned_data
        return [
            Size(typed[f"thickness_{n}"] or self.piece.thickness, typed[f"width_{n}"] or self.piece.width, length)
            for n in range(1, MOST_PARTS + 1)
            if (length := typed[f"length_{n}"])
        ]

    def rows(self) -> list[list[forms.BoundField]]:
        sides = ("length", "width", "thickness")
        return [[self[f"{side}_{n}"] for side in sides] for n in range(1, MOST_PARTS + 1)]

    def clean(self) -> dict:
        typed = super().clean()
        for n in range(1, MOST_PARTS + 1):
            other = [side for side in ("width", "thickness") if self._differs(f"{side}_{n}", side)]
            if other and not typed.get(f"length_{n}") and not self.errors.get(f"length_{n}"):
                self.add_error(f"length_{n}", f"Part {n} has no length. Measure it, or leave its sides as they were.")
        if not self.errors and not self.parts():
            self.add_error("length_1", "No part is measured. Write the length of at least one.")
        return typed

    def _differs(self, name: str, side: str) -> bool:
        value: Length | None = self.cleaned_data.get(name)
        return bool(value) and value != getattr(self.piece, side)


class MeasureForm(PieceForm):
    act, title, button = "measure", "Measure it again", "Write what it measures"
    thickness = LengthFormField(label="Thickness")
    width = LengthFormField(label="Width")
    length = LengthFormField(label="Length")

    def __init__(self, data=None, *, piece: StockPiece, **kwargs) -> None:
        sides = {side: getattr(piece, side) for side in ("thickness", "width", "length")}
        super().__init__(data, piece=piece, initial=sides, **kwargs)


class SurfaceForm(PieceForm):
    act, title, button = "surface", "It was surfaced", "It is so thick now"
    thickness = LengthFormField(label="Thickness now")


class MoveForm(PieceForm):
    act, title, button = "move", "Move it", "It lies there now"
    place = forms.CharField(label="Where it lies now", max_length=60, required=False)

    def __init__(self, data=None, *, piece: StockPiece, **kwargs) -> None:
        super().__init__(data, piece=piece, initial={"place": piece.place}, **kwargs)


class AsideForm(PieceForm):
    act, title, button = "aside", "Set it aside", "Set it aside"
    reason = forms.CharField(label="Why", max_length=100, help_text="Still wet, kept for a table: one or two words.")


class BackForm(PieceForm):
    act, title, button = "back", "Bring it back", "It may be used again"


class ScrapForm(PieceForm):
    act, title, button = "scrap", "Scrap it", "Scrap it"
    reason = forms.CharField(label="Why", max_length=100, help_text="A split, worm, too short for anything.")


FORMS = {form.act: form for form in (SplitForm, MeasureForm, SurfaceForm, MoveForm, AsideForm, BackForm, ScrapForm)}


class ScrapTogetherForm(ShopForm):
    reason = forms.CharField(label="Why", max_length=100, initial="too short for anything")
