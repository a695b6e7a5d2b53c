"""A wood as it is bought and how it looks when oiled."""

from __future__ import annotations

from django import forms

from planner.measures import Length
from shopapp.common.fields import LengthFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import unit_of

from .models import WoodOnHand
from .planning import MARKS, WOODS, hex_of
from .quarters import read_thickness


class ThicknessFormField(LengthFormField):
    """A rough thickness; quarters of an inch are read as the trade writes them: 4/4, 5/4, 8/4."""

    def read(self, text: str) -> Length:
        return read_thickness(text, self.unit)


class WoodForm(ShopForm):
    """A wood on hand. ``taken_marks`` are the marks of the other woods on hand."""

    name = forms.CharField(label="You call it", max_length=60)
    price = MoneyFormField(label="It costs", suffix="€")
    per = forms.ChoiceField(label="for", choices=WoodOnHand.Per.choices)
    rough_thickness = ThicknessFormField(
        label="Usual rough thickness", help_text="In quarters of an inch (4/4, 5/4) or as a length."
    )
    rough_width = LengthFormField(label="Usual width")
    finished_rgb = forms.RegexField(
        r"^#[0-9a-fA-F]{6}$",
        label="Its colour when oiled",
        help_text="Set by eye here; a photo of an oiled piece tells it better.",
        widget=forms.TextInput(attrs={"type": "color"}),
        error_messages={"invalid": "Write a colour as # and six digits 0-9 or a-f, like #543a2b."},
    )
    mark = forms.ChoiceField(
        label="Its mark", choices=[(m, m) for m in MARKS], help_text="Tells it from the others without colour."
    )

    def __init__(self, data=None, *, shop, taken_marks: dict[str, str], unit_shown: str = "", **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.taken_marks = taken_marks
        self.unit_shown = unit_shown or unit_of(data, shop.unit)
        self.fields["price"].suffix = shop.currency_symbol
        self.fields["price"].exponent = shop.currency_exponent
        for name in ("rough_thickness", "rough_width"):
            self.fields[name].unit = self.unit_shown

    def clean_mark(self) -> str:
        mark = self.cleaned_data["mark"]
        if mark in self.taken_marks:
            raise forms.ValidationError(f"{self.taken_marks[mark]} has this mark already. Choose another.")
        return mark

    def values(self) -> dict[str, object]:
        names = ("name", "price", "per", "rough_thickness", "rough_width", "finished_rgb", "mark")
        return {name: self.cleaned_data[name] for name in names}


class AddWoodForm(WoodForm):
    """A wood of the table that is not on hand yet."""

    wood = forms.ChoiceField(label="Wood")
    field_order = ["wood"]

    def __init__(self, data=None, *, missing: list[str], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["wood"].choices = [(w, f"{WOODS[w].name} ({WOODS[w].scientific_name})") for w in missing]
        self.fields["wood"].error_messages["invalid_choice"] = "This wood is already among yours. Choose another."
        self.fields["name"].required = False
        self.fields["name"].help_text = "Left empty, the name in the table."
        self.fields["finished_rgb"].required = False
        self.fields["finished_rgb"].widget = forms.TextInput()
        self.fields["finished_rgb"].help_text = "Left empty, a stand-in until you match an oiled piece of your own."

    def values(self) -> dict[str, object]:
        found = super().values()
        wood = WOODS[self.cleaned_data["wood"]]
        found["wood"] = wood.id
        found["name"] = found["name"] or wood.name
        found["colour_is_stand_in"] = not found["finished_rgb"]
        found["finished_rgb"] = found["finished_rgb"] or hex_of(wood.finished_rgb)
        return found
