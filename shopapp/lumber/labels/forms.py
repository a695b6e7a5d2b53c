"""What labels are printed on: a paper by its measures, the label to begin with, the address in the codes."""

from __future__ import annotations

from django import forms

from planner.measures import Length
from shopapp.common.fields import CountFormField, LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import unit_of

from .papers import MOST_ACROSS, MOST_DOWN, PAPERS, SHEETS, Paper

OWN = "own"
_LENGTHS = ("width", "height", "left", "top", "gap_across", "gap_down")


class LabelForm(ShopForm):
    paper = forms.ChoiceField(
        label="Label paper", error_messages={"required": "Choose the paper, or your own measures."}
    )
    first = CountFormField(
        label="Begin at label",
        least=1,
        most=MOST_ACROSS * MOST_DOWN,
        help_text="Counted along the rows; 1 on a new sheet.",
    )
    address = forms.RegexField(
        r"^https?://[^\s/?#<>\"]+/?$",
        label="Address of this shop",
        max_length=120,
        help_text="As a phone in the workshop reaches it; it stands in every code.",
        error_messages={"invalid": "Write it as a browser shows it, like https://shop.example"},
    )
    sheet = forms.ChoiceField(
        label="Sheet", required=False, choices=[(key, name) for key, (name, *_) in SHEETS.items()]
    )
    across = CountFormField(label="Labels across", least=1, most=MOST_ACROSS, required=False)
    down = CountFormField(label="Labels down", least=1, most=MOST_DOWN, required=False)
    width = LengthFormField(label="Width of a label", required=False)
    height = LengthFormField(label="Height of a label", required=False)
    left = LengthFormField(label="From the left edge", allow_zero=True, required=False)
    top = LengthFormField(label="From the upper edge", allow_zero=True, required=False)
    gap_across = LengthFormField(label="Between two across", allow_zero=True, required=False)
    gap_down = LengthFormField(label="Between two down", allow_zero=True, required=False)

    def __init__(self, data=None, *, shop, address: str, **kwargs) -> None:
        self.unit_shown = unit_of(data, shop.unit)
        usual = "letter-30" if self.unit_shown == "in" else "a4-24-70"
        own = PAPERS[usual]
        initial = {"paper": usual, "first": 1, "address": address, "sheet": own.sheet, "across": own.across}
        initial |= {"down": own.down, **{name: getattr(own, name) for name in _LENGTHS}}
        super().__init__(data, auto_id="label_%s", initial=initial, **kwargs)
        told = [(key, paper.says("in" if paper.sheet == "letter" else "mm")) for key, paper in PAPERS.items()]
        self.fields["paper"].choices = [*told, (OWN, "Another, by its measures")]
        for name in _LENGTHS:
            self.fields[name].unit = self.unit_shown

    def own_measures(self) -> list[forms.BoundField]:
        return [self[name] for name in ("sheet", "across", "down", *_LENGTHS)]

    @property
    def asks_own(self) -> bool:
        return self["paper"].value() == OWN

    def clean(self) -> dict:
        typed = super().clean()
        if typed.get("paper") == OWN:
            for name in ("sheet", "across", "down", "width", "height"):
                if not typed.get(name) and name not in self.errors:
                    self.add_error(name, "Measure it on the sheet and write it here.")
        else:
            # What is not asked for is not complained about.
            for name in (*_LENGTHS, "sheet", "across", "down"):
                self.errors.pop(name, None)
        return typed

    def chosen_paper(self) -> Paper:
        typed = self.cleaned_data
        if typed["paper"] != OWN:
            return PAPERS[typed["paper"]]
        lengths = {name: typed[name] or Length.of_mm(0) for name in _LENGTHS}
        return Paper(sheet=typed["sheet"], across=typed["across"], down=typed["down"], **lengths)
