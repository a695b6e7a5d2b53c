"""What a stocktake is begun with, what is found of a piece, and how a stocktake is closed."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import LengthFormField
from shopapp.common.forms import SeenVersionField, ShopForm
from shopapp.lumber.models import StockPiece, Stocktake, StocktakeCount
from shopapp.workshop.forms import unit_of

from .actions import Found
from .differences import SIDES

EVERY = "every"


class BeginForm(ShopForm):
    wood = forms.ChoiceField(label="Wood", error_messages={"required": "Choose which wood is counted, or every wood."})
    place = forms.ChoiceField(label="Place", required=False)

    def __init__(self, data=None, *, woods: list, places: list[str], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["wood"].choices = [(EVERY, "Every wood"), *woods]
        self.fields["place"].choices = [("", "Everywhere"), *((place, place) for place in places)]

    def looks_at(self) -> dict[str, str]:
        """The wood and the place that are counted; empty where it is every one."""
        typed = self.cleaned_data
        return {"wood": "" if typed["wood"] == EVERY else typed["wood"], "place": typed["place"]}


class MarkForm(ShopForm):
    """A mark as it is read off a board."""

    mark = forms.CharField(
        label="Mark or number",
        max_length=12,
        error_messages={"required": "Type the mark that is chalked on the board."},
    )

    def __init__(self, data=None, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["mark"].widget.attrs.update(
            {"autocomplete": "off", "autocapitalize": "none", "autofocus": True, "enterkeyhint": "done"}
        )


class CountForm(ShopForm):
    """What was found of one piece: as in the book, or with other sizes or in another place."""

    found = forms.ChoiceField(
        choices=[("yes", "It is here"), ("no", "It is not there")],
        error_messages={"required": "Say whether it is here or not."},
    )
    length = LengthFormField(label="Length", required=False)
    width = LengthFormField(label="Width", required=False)
    thickness = LengthFormField(label="Thickness", required=False)
    place = forms.CharField(label="Lies", max_length=60, required=False)
    piece_seen = SeenVersionField(required=False)

    def __init__(
        self, data=None, *, stocktake: Stocktake, piece: StockPiece, count: StocktakeCount | None, unit: str, **kwargs
    ) -> None:
        self.piece = piece
        self.unit_shown = unit_of(data, unit)
        initial: dict[str, object] = {side: (count and getattr(count, side)) or getattr(piece, side) for side in SIDES}
        lies = stocktake.place or piece.place
        initial["place"] = count.place if count and count.moved else piece.place if count else lies
        initial["piece_seen"] = piece.edit_version
        version = count.edit_version if count else 0
        super().__init__(data, edit_version=version, initial=initial, **kwargs)
        for side in SIDES:
            self.fields[side].unit = self.unit_shown

    def shown(self) -> list[forms.BoundField]:
        return [self[name] for name in (*reversed(SIDES), "place")]

    def counted(self) -> Found:
        typed, piece = self.cleaned_data, self.piece
        if typed["found"] == "no":
            return Found(found=False)
        sides = {s: typed[s] if typed[s] and typed[s] != getattr(piece, s) else None for s in SIDES}
        # Of a piece that is out its page asks for no place.
        looked = "place" in self.data and typed["place"] != piece.place
        return Found(**sides, place=typed["place"] if looked else None)


class CloseForm(ShopForm):
    rest = forms.ChoiceField(
        choices=[("stays", "stays as it is in the book"), ("missing", "is not found")],
        error_messages={"required": "Say what becomes of the pieces that were not counted."},
    )
    seen = forms.CharField(required=False, max_length=60)
