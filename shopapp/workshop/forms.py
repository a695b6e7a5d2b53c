"""The settings' sections, each a form of its own: what is asked, what it is for, and where its default comes from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from django import forms

from shopapp.common.fields import (
    CountFormField,
    DecimalFormField,
    LengthFormField,
    MoneyFormField,
    NumberFormField,
    PercentFormField,
)
from shopapp.common.forms import ShopForm

from .models import Workshop
from .planning import DEFAULT_TIMES, OPERATIONS, times_of

COMMON = "Common practice, no source."
MOST_FEES = 4


class SectionForm(ShopForm):
    """A form over some of the workshop's own fields, named alike."""

    def __init__(self, *args, workshop: Workshop, **kwargs) -> None:
        super().__init__(*args, edit_version=workshop.edit_version, initial=self.values_of(workshop), **kwargs)
        self.workshop = workshop
        for field in self.fields.values():
            if isinstance(field, LengthFormField):
                field.unit = workshop.unit
            if isinstance(field, MoneyFormField):
                field.exponent = workshop.currency_exponent
                field.suffix = field.suffix.replace("€", workshop.currency_symbol)

    def own_names(self) -> list[str]:
        return [name for name in self.fields if name not in ("form_key", "edit_version")]

    def values_of(self, workshop: Workshop) -> dict[str, object]:
        return {name: getattr(workshop, name) for name in self.base_fields if hasattr(workshop, name)}

    def changes(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in self.own_names()}


class NamesForm(SectionForm):
    name = forms.CharField(label="Name of the workshop", max_length=80)
    unit = forms.ChoiceField(
        label="Lengths are written in",
        choices=Workshop.Unit.choices,
        help_text="Either may be typed anywhere; a bare number is read in this one.",
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


class AllowancesForm(SectionForm):
    glue_line = LengthFormField(
        label="Thickness of a glue line",
        allow_zero=True,
        help_text="0.05 to 0.15 mm for most adhesives (Wengert, Wood Doctor). Measure a glued row of many tiles.",
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
    rough_end_trim = LengthFormField(label="Off each end of a rough length", allow_zero=True, help_text=COMMON)
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
        for operation in OPERATIONS:
            self.fields[f"time_{operation.key}"] = NumberFormField(
                label=operation.words,
                least=0,
                most=10_000,
                suffix=f"min a {operation.each}",
                initial=times_of(self.workshop)[operation.key],
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
        # A time left at its default is not written out: it stays the default.
        written = self.workshop.times
        times = {key: str(time) for key, time in typed.items() if key in written or time != DEFAULT_TIMES[key]}
        return {"hour": data["hour"], "overhead_hour": data["overhead_hour"], "times": times}


class SellingForm(SectionForm):
    margin = PercentFormField(
        label="Usual margin, of the price", least=0, most=99, help_text="A board may ask another."
    )
    ending = MoneyFormField(
        label="Prices end in",
        required=False,
        suffix="€",
        help_text="9 makes 189, 199 and so on; empty for the exact price.",
    )
    tax = PercentFormField(
        label="Tax on sales", least=0, most=100, help_text="0 if you are not registered. Ask whoever does your taxes."
    )
    tax_included = forms.BooleanField(label="The price includes the tax", required=False)
    carriage_charged = MoneyFormField(label="Carriage charged to the buyer", suffix="€")
    carriage_paid = MoneyFormField(label="Carriage you pay", suffix="€")

    def __init__(self, *args, workshop: Workshop, **kwargs) -> None:
        super().__init__(*args, workshop=workshop, **kwargs)
        fees = list(workshop.fees.all()) if workshop.edit_version else []
        for i in range(MOST_FEES):
            fee = fees[i] if i < len(fees) else None
            made = {
                f"fee_{i}_name": forms.CharField(
                    label=f"Fee {i + 1}, its name", max_length=40, required=False, initial=fee.name if fee else ""
                ),
                f"fee_{i}_percent": PercentFormField(
                    label="of the sale", least=0, most=100, required=False, initial=fee.percent if fee else None
                ),
                f"fee_{i}_fixed": MoneyFormField(
                    label="and fixed", suffix="€", required=False, initial=fee.fixed if fee else None
                ),
                f"fee_{i}_on_carriage": forms.BooleanField(
                    label="on carriage too", required=False, initial=fee.on_carriage if fee else True
                ),
                f"fee_{i}_on_tax": forms.BooleanField(
                    label="on tax too", required=False, initial=fee.on_tax if fee else False
                ),
            }
            self.fields.update(made)
        for name, field in self.fields.items():
            if isinstance(field, MoneyFormField) and name.startswith("fee_"):
                field.exponent = workshop.currency_exponent
                field.suffix = workshop.currency_symbol

    def plain_fields(self) -> list[forms.BoundField]:
        return [field for field in self.visible_in_order() if not field.name.startswith("fee_")]

    def fee_rows(self) -> list[list[forms.BoundField]]:
        parts = ("name", "percent", "fixed", "on_carriage", "on_tax")
        return [[self[f"fee_{i}_{part}"] for part in parts] for i in range(MOST_FEES)]

    def clean(self) -> dict:
        data = super().clean()
        if self.errors:
            return data
        taken = data["margin"]
        for fee in self.fees():
            taken += fee["percent"] * (1 + data["tax"] if fee["on_tax"] else 1)
        if taken >= 1:
            self.add_error(
                "margin",
                "Fees and margin together take the whole price, so no price exists. Ask less or check the fees.",
            )
        for i in range(MOST_FEES):
            worth = data.get(f"fee_{i}_percent") or data.get(f"fee_{i}_fixed")
            if worth and not data.get(f"fee_{i}_name"):
                self.add_error(f"fee_{i}_name", "Name this fee, so that a price's sum can say what it is.")
        return data

    def fees(self) -> list[dict[str, object]]:
        data = self.cleaned_data
        return [
            {
                "place": i,
                "name": data[f"fee_{i}_name"],
                "percent": data[f"fee_{i}_percent"] or Fraction(0),
                "fixed": data[f"fee_{i}_fixed"] or 0,
                "on_carriage": data[f"fee_{i}_on_carriage"],
                "on_tax": data[f"fee_{i}_on_tax"],
            }
            for i in range(MOST_FEES)
            if data.get(f"fee_{i}_percent") or data.get(f"fee_{i}_fixed")
        ]

    def changes(self) -> dict[str, object]:
        names = ("margin", "ending", "tax", "tax_included", "carriage_charged", "carriage_paid")
        return {name: self.cleaned_data[name] for name in names}


@dataclass(frozen=True)
class Section:
    """One part of the settings: its address, what it is called, what it is for, and its form."""

    key: str
    title: str
    purpose: str
    form: type[SectionForm]
    caution: str = ""


SECTIONS = (
    Section(
        "safe",
        "Saw and safe limits",
        "What the blades take, and what you will not put on a machine. No plan goes below these.",
        SafeForm,
        "These are your limits, not a clearance. The machine's manual, local rules and your judgement come first: "
        "guard and riving knife on, push sticks at hand, small parts cut with a sled, a hold-down and a stand-off "
        "so that nothing lies loose between blade and stop.",
    ),
    Section(
        "allowances",
        "Allowances",
        "How much larger each part is left at each stage, and how many spares are cut.",
        AllowancesForm,
    ),
    Section("supplies", "Glue, abrasives, finish", "What a board uses up besides wood.", SuppliesForm,
            "Read the data sheets. Rags wet with drying oil can heat themselves and catch fire: "
            "dry them flat outdoors."),
    Section("hours", "Hours", "What your hour is worth, and how long each kind of work takes you.", HoursForm),
    Section("selling", "Selling", "Margin, tax, carriage and the fees of where you sell.", SellingForm),
    Section("names", "Names and units", "How this book writes lengths and money.", NamesForm),
)  # fmt: skip
