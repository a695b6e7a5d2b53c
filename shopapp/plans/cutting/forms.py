"""What a maker wishes of a cut plan: how woods are ripped, what is left out, a board that is not there yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from django import forms

from planner.measures import Length
from shopapp.common.fields import CountFormField, LengthFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import unit_of
from shopapp.workshop.models import Workshop

from .searching import MOST_MINUTES

WAYS = [("face", "face up"), ("edge", "turned on edge"), ("either", "whichever costs less")]
MINUTES = [("1", "a minute"), ("3", "3 minutes"), ("10", "10 minutes"), (str(MOST_MINUTES), "half an hour")]
BOARD = ("bought_thickness", "bought_width", "bought_length", "bought_price")
MOST_BOUGHT = 20


class SomeOf(forms.MultipleChoiceField):
    """Those of what is ticked that can still be chosen; a board that is gone since is left out by itself."""

    widget = forms.CheckboxSelectMultiple

    def clean(self, value: object) -> list[str]:
        known = dict(self.choices)
        return [text for text in dict.fromkeys(value or []) if text in known]


class WishesForm(ShopForm):
    """``woods`` are (id, name) of what is cut, ``kinds`` of part and their words, ``shades`` those on the rack by wood,
    ``marks`` the free pieces. A board that is not there yet is one when its wood is chosen."""

    resaw = forms.BooleanField(
        label="Resaw thick boards into two layers", required=False, help_text="Where the shop's settings let it."
    )
    offcuts_first = forms.BooleanField(
        label="Use offcuts first", required=False, help_text="They count at nothing while plans are compared."
    )
    pair_borders = forms.BooleanField(
        label="Both borders of a row from one strip",
        required=False,
        help_text="So that the grain runs on behind the picture.",
    )
    one_board = SomeOf(label="From one board of their wood", required=False)
    leave_out = SomeOf(label="Leave out", required=False)
    bought_wood = forms.ChoiceField(label="Wood", required=False)
    bought_count = CountFormField(label="How many", least=1, most=MOST_BOUGHT, required=False, initial=1)
    bought_thickness = LengthFormField(label="Thickness, rough", required=False)
    bought_width = LengthFormField(label="Width", required=False)
    bought_length = LengthFormField(label="Length", required=False)
    bought_price = MoneyFormField(label="Price of one", required=False)
    minutes = forms.ChoiceField(label="Look for at most", choices=MINUTES, initial="3")

    def __init__(
        self,
        data=None,
        *,
        shop: Workshop,
        woods: Sequence[tuple[str, str]],
        kinds: Sequence[tuple[str, str]],
        shades: Mapping[str, Sequence[str]],
        marks: Sequence[str],
        **kwargs,
    ) -> None:
        super().__init__(data, **kwargs)
        self.woods = dict(woods)
        self.unit_shown = unit_of(data, shop.unit)
        for name in ("bought_thickness", "bought_width", "bought_length"):
            self.fields[name].unit = self.unit_shown
        price = self.fields["bought_price"]
        price.exponent, price.suffix = shop.currency_exponent, shop.currency_symbol
        self.fields["bought_wood"].choices = [("", "None"), *woods]
        self.fields["one_board"].choices = list(kinds)
        self.fields["leave_out"].choices = [(mark, mark) for mark in marks]
        if not shop.resaw:
            del self.fields["resaw"]
        for wood, name in woods:
            self.fields[f"way_{wood}"] = forms.ChoiceField(label=name, choices=WAYS, initial="face")
            if shades.get(wood):
                choices = [("", "any shade"), *((shade, shade) for shade in shades[wood])]
                self.fields[f"shade_{wood}"] = forms.ChoiceField(
                    label=f"Shade of {name}", choices=choices, required=False
                )

    def ways(self) -> list[forms.BoundField]:
        """How each wood is ripped, and its shade where there are any."""
        names = [name for wood in self.woods for name in (f"way_{wood}", f"shade_{wood}")]
        return [self[name] for name in names if name in self.fields]

    def ticks(self) -> list[forms.BoundField]:
        return [self[name] for name in ("resaw", "offcuts_first", "pair_borders") if name in self.fields]

    def board(self) -> list[forms.BoundField]:
        """The board that is not there yet."""
        return [self[name] for name in ("bought_wood", "bought_count", *BOARD)]

    def clean(self) -> dict:
        typed = super().clean()
        if typed.get("bought_wood"):
            for name in BOARD:
                if typed.get(name) is None and name not in self.errors:
                    self.add_error(name, "Write what such a board would have, or choose no wood.")
        elif any(typed.get(name) is not None for name in BOARD):
            self.add_error("bought_wood", "Choose the wood of this board, or empty its sizes.")
        return typed

    def wishes(self) -> dict[str, object]:
        """What is wished, as it is kept; only what is not as usual."""
        typed = self.cleaned_data
        found: dict[str, object] = {
            name: True for name in ("resaw", "offcuts_first", "pair_borders") if typed.get(name)
        }
        ways = {wood: way for wood in self.woods if (way := typed[f"way_{wood}"]) != "face"}
        shades = {wood: shade for wood in self.woods if (shade := typed.get(f"shade_{wood}"))}
        for name, value in (
            ("ways", ways),
            ("shades", shades),
            ("one_board", typed["one_board"]),
            ("leave_out", typed["leave_out"]),
            ("bought", self._bought()),
        ):
            if value:
                found[name] = value
        return found

    def _bought(self) -> list[dict[str, str]]:
        typed = self.cleaned_data
        if not typed["bought_wood"]:
            return []
        sizes = {name: str(typed[f"bought_{name}"].mm) for name in ("thickness", "width", "length")}
        one = {"wood": typed["bought_wood"], **sizes, "price": str(typed["bought_price"])}
        return [one] * (typed["bought_count"] or 1)

    @staticmethod
    def initial_of(wishes: Mapping) -> dict[str, object]:
        """The wishes that were kept, as they are typed."""
        found: dict[str, object] = {
            name: wishes[name]
            for name in ("resaw", "offcuts_first", "pair_borders", "one_board", "leave_out")
            if name in wishes
        }
        found |= {f"way_{wood}": way for wood, way in wishes.get("ways", {}).items()}
        found |= {f"shade_{wood}": shade for wood, shade in wishes.get("shades", {}).items()}
        if bought := wishes.get("bought"):
            first = bought[0]
            found |= {"bought_wood": first["wood"], "bought_count": str(len(bought))}
            found |= {f"bought_{name}": Length.of_mm(first[name]) for name in ("thickness", "width", "length")}
            found["bought_price"] = Decimal(first["price"])
        return found
