"""The settings' sections, each a form of its own: what is asked, what it is for, and where its default comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from django import forms

from planner.measures import Length, format_length
from shopapp.common.fields import (
    CountFormField,
    DecimalFormField,
    LengthFormField,
    MoneyFormField,
    NumberFormField,
    PercentFormField,
    plain_number,
)
from shopapp.common.forms import ShopForm

from .advice import advice_on
from .models import Workshop
from .planning import OPERATIONS

COMMON = "Common practice, no source."


def unit_of(data: Mapping[str, str] | None, unit: str) -> str:
    """The unit a form's bare numbers are in: the one it was opened in, though the shop may have changed since."""
    shown = (data or {}).get("unit_shown")
    return shown if shown in Workshop.Unit.values else unit


@dataclass(frozen=True)
class Said:
    """Something to mind about what a field holds; nothing is refused for it."""

    field: forms.BoundField
    words: str
    source: str = ""


class SectionForm(ShopForm):
    """A form over some of the workshop's own fields, named alike."""

    def __init__(self, data=None, *, workshop: Workshop, unit_shown: str = "", **kwargs) -> None:
        super().__init__(data, edit_version=workshop.edit_version, initial=self.values_of(workshop), **kwargs)
        self.workshop = workshop
        self.unit_shown = unit_shown or unit_of(data, workshop.unit)
        for field in self.fields.values():
            if isinstance(field, LengthFormField):
                field.unit = self.unit_shown
            if isinstance(field, MoneyFormField):
                field.exponent = workshop.currency_exponent
                field.suffix = field.suffix.replace("€", workshop.currency_symbol)

    def own_names(self) -> list[str]:
        return [name for name in self.fields if name not in ("form_key", "edit_version")]

    def values_of(self, workshop: Workshop) -> dict[str, object]:
        return {name: getattr(workshop, name) for name in self.base_fields if hasattr(workshop, name)}

    def changes(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in self.own_names()}

    def minded(self) -> list[Said]:
        """What is published against the values that stand or were typed."""
        values = self.cleaned_data if self.is_bound and self.is_valid() else self.initial
        return [Said(self[a.name], a.words, a.source) for a in advice_on(values) if a.name in self.fields]

    def says(self, length: Length) -> str:
        return format_length(length, self.unit_shown)


class NamesForm(SectionForm):
    name = forms.CharField(label="Name of the workshop", max_length=80)
    unit = forms.ChoiceField(
        label="Lengths are written in",
        choices=Workshop.Unit.choices,
        help_text="Either may be typed anywhere; a bare number is read in this one.",
    )
    wood_in = forms.ChoiceField(
        label="Wood is counted in",
        choices=Workshop.Wood.choices,
        required=False,
        help_text="On the rack, in jobs and in the books; a thousand cubic decimetres are a cubic metre. "
        "What a price is for stays as you agreed it.",
    )
    words = forms.ChoiceField(label="Words for machines and wood", choices=Workshop.Words.choices)
    currency_code = forms.RegexField(
        r"^[A-Z]{3}$",
        label="Currency",
        help_text="Three capital letters, like EUR.",
        error_messages={"invalid": "Write three capital letters, like EUR or USD."},
    )
    currency_symbol = forms.CharField(label="Its sign", max_length=4)
    currency_exponent = CountFormField(
        label="Decimals of an amount", least=0, most=3, help_text="2 for cents; 0 where there are none."
    )


class SafeForm(SectionForm):
    crosscut_kerf = LengthFormField(
        label="Crosscut kerf", help_text="What the blade takes. Measure it in a scrap of the wood you cut."
    )
    rip_kerf = LengthFormField(label="Rip kerf", help_text="As above, for the ripping blade.")
    longest_rip = LengthFormField(
        label="Longest rough length you rip", help_text="As your saw, your outfeed and you can support it."
    )
    shortest_machined = LengthFormField(
        label="Shortest length machined",
        help_text="Nothing shorter goes over the jointer or through the planer. 305 mm (12 in) is a teacher's rule; "
        "the machine's manual comes first.",
    )
    narrowest_strip = LengthFormField(
        label="Narrowest strip ripped", help_text="Between blade and fence, with guard and push stick. " + COMMON
    )
    thinnest_planed = LengthFormField(label="Thinnest stock planed", help_text="See the machine's manual.")
    grip = LengthFormField(
        label="Grip at the end of a strip",
        help_text="What stays under the hold-down and is never cut into parts. " + COMMON,
    )
    stand_off = LengthFormField(
        label="Stand-off",
        help_text="The spacer between stop and wood, taken away before the cut, so that neither tile nor offcut is "
        "caught between blade and stop. 25 mm (1 in) from memory.",
    )
    hold_down = LengthFormField(
        label="Strips crosscut side by side",
        allow_zero=True,
        help_text="The widest bundle your sled's hold-down presses as one; 0 for one strip at a time.",
    )
    tallest_cut = LengthFormField(
        label="Deepest cut of the saw", help_text="With the blade at its highest; see the saw's manual."
    )
    saw_scale = LengthFormField(
        label="Finest step of fence and stop",
        help_text="What you read on their scales: half a millimetre or 1/64 in by eye, from memory.",
    )

    def clean(self) -> dict:
        data = super().clean()
        longest, shortest, grip = (data.get(name) for name in ("longest_rip", "shortest_machined", "grip"))
        self._check_cuts(data)
        if longest and shortest and longest < shortest:
            self.add_error(
                "longest_rip",
                f"This is shorter than the shortest length machined, {self.says(shortest)}, so no strip could be "
                "made. Write a longer one.",
            )
        elif longest and grip and (lost := grip + self.workshop.rough_end_trim * 2) >= longest:
            self.add_error(
                "grip",
                f"Grip and both end trims take {self.says(lost)}, all of the longest rough length, "
                f"{self.says(longest)}. Rip longer lengths.",
            )
        return data

    def _check_cuts(self, data: dict) -> None:
        kerf, stand_off = data.get("crosscut_kerf"), data.get("stand_off")
        if kerf and stand_off and stand_off <= kerf:
            self.add_error(
                "stand_off",
                f"This is no more than the blade takes, {self.says(kerf)}, and a part could still catch between blade "
                "and stop. Write a wider one.",
            )
        narrowest, hold_down = data.get("narrowest_strip"), data.get("hold_down")
        if narrowest and hold_down and hold_down < narrowest * 2:
            self.add_error(
                "hold_down",
                f"Two of the narrowest strips are {self.says(narrowest * 2)} wide side by side. Write at least that, "
                "or 0 for one strip at a time.",
            )


class AllowancesForm(SectionForm):
    glue_line = LengthFormField(
        label="Thickness of a glue line",
        allow_zero=True,
        help_text="0.002 to 0.006 in (0.05 to 0.15 mm) for most adhesives (Wengert, Wood Doctor). "
        "Measure a glued row of many tiles.",
    )
    gauge_allowance = LengthFormField(
        label="Strips ripped oversize by", allow_zero=True, help_text="Before all come to one size. " + COMMON
    )
    dressing = LengthFormField(label="Off each edge when dressed", allow_zero=True, help_text=COMMON)
    end_trim = LengthFormField(
        label="Rows left long, each end", allow_zero=True, help_text="Cut square after joining. " + COMMON
    )
    edge_trim = LengthFormField(label="Blank left wide, each edge", allow_zero=True, help_text=COMMON)
    flattening = LengthFormField(
        label="Off the thickness when flattened", allow_zero=True, help_text="Both faces together. " + COMMON
    )
    milling = LengthFormField(
        label="From rough to milled, at least", allow_zero=True, help_text="Both faces together. " + COMMON
    )
    rough_end_trim = LengthFormField(
        label="Off each end of a rough length",
        allow_zero=True,
        help_text="Checks, snipe and squaring together, while no boards are chosen; a cut plan goes by the trims "
        "of “Cutting boards up”. " + COMMON,
    )
    rough_edge_trim = LengthFormField(label="Lost to straightening, of the width", allow_zero=True, help_text=COMMON)
    spoil_rate = PercentFormField(label="Pieces spoiled", least=0, most=50, help_text="Decides the spares. " + COMMON)
    spare_confidence = PercentFormField(
        label="How sure the spares suffice", least=50, most=Fraction(999, 10), help_text="For each wood and length."
    )
    least_carried = PercentFormField(
        label="Warn of seams carried less than",
        least=0,
        most=100,
        help_text="Long grain across a seam, of the board's height. " + COMMON,
    )

    def clean(self) -> dict:
        data = super().clean()
        trim, shop = data.get("rough_end_trim"), self.workshop
        if trim and (lost := shop.grip + trim * 2) >= shop.longest_rip:
            self.add_error(
                "rough_end_trim",
                f"Both ends and the grip take {self.says(lost)}, all of the longest rough length, "
                f"{self.says(shop.longest_rip)}. Take off less, or rip longer lengths.",
            )
        return data


class SuppliesForm(SectionForm):
    glue_g_per_m2 = DecimalFormField(
        places=3,
        most=10_000,
        label="Glue spread",
        suffix="g/m²",
        help_text="From the adhesive's data sheet; 150 to 250 from memory.",
    )
    glue_loss = PercentFormField(label="Glue lost", least=0, most=500, help_text="Squeezed out, left in the brush.")
    glue_per_kg = MoneyFormField(label="Glue costs", suffix="€ a kg")
    grits = CountFormField(label="Grits a face is sanded with", least=0, most=20)
    abrasive_m2_each = DecimalFormField(
        places=4,
        most=10_000,
        label="A disc or sheet lasts",
        suffix="m²",
        least=Fraction(1, 10000),
        help_text="An assumption: measure yours.",
    )
    abrasive_price_each = MoneyFormField(label="A disc or sheet costs", suffix="€")
    finish_coats = CountFormField(label="Coats of finish", least=0, most=20)
    finish_l_per_m2 = DecimalFormField(
        places=4, most=1000, label="A coat takes", suffix="l/m²", help_text="From the finish's data sheet."
    )
    finish_per_l = MoneyFormField(label="Finish costs", suffix="€ a litre")
    packaging = MoneyFormField(label="Packaging of a board", suffix="€")
    reserve = PercentFormField(
        label="Boards lost and made again", least=0, most=90, help_text="Spread over those that come out well."
    )


class HoursForm(SectionForm):
    hour = MoneyFormField(label="Your hour is worth", suffix="€")
    overhead_hour = MoneyFormField(
        label="Rent, power, blades, an hour", suffix="€", help_text="A year's costs over the hours you work in it."
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        times = self.workshop.times
        for operation in OPERATIONS:
            self.fields[f"time_{operation.key}"] = NumberFormField(
                label=operation.words,
                required=False,
                least=0,
                most=10_000,
                suffix=f"min a {operation.each}",
                initial=Fraction(times[operation.key]) if operation.key in times else None,
                help_text=f"Empty: by your time log; {plain_number(operation.default)} while that says nothing.",
            )

    def clean_hour(self):
        hour = self.cleaned_data["hour"]
        if hour == 0:
            raise forms.ValidationError(
                "An hour worth nothing gives no price worth asking. Write what an hour of yours should earn."
            )
        return hour

    def changes(self) -> dict[str, object]:
        data = self.cleaned_data
        typed = {operation.key: data[f"time_{operation.key}"] for operation in OPERATIONS}
        times = {key: str(time) for key, time in typed.items() if time is not None}
        return {"hour": data["hour"], "overhead_hour": data["overhead_hour"], "times": times}
