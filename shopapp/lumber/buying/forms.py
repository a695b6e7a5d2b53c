"""A supplier, and a delivery as it is typed: one board after another, the last one's values ready for the next."""

from __future__ import annotations

import json

from django import forms
from django.utils import timezone

from shopapp.common.fields import CountFormField, DecimalFormField, LengthFormField, MoneyFormField, PercentFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.forms import ThicknessFormField
from shopapp.lumber.models import Lot, Supplier
from shopapp.lumber.stock.buying import LOT_FACTS, MOST_BOARDS, BoughtLine, DeliveryFacts
from shopapp.workshop.forms import unit_of

from .sense import ASKED_BEYOND, GIFT, LONGER, MOST_MOISTURE, READING, day_amiss, is_odd_reading, no_delivery_day

# What is typed travels whole in its form, so it is fewer lines than a table may bring.
MOST_TYPED = 500
LINE_FIELDS = (
    "wood", "thickness", "width", "length", "count", "price", "per", "mass", "measured", "grade", "surfaced", "cut",
    "sapwood", "shade", "moisture", "moisture_on", "fit_on", "place", "gift", "longer", "reading",
)  # fmt: skip
FACTS = ("supplier", "on", "reference", "carriage", "note")


class SupplierForm(ShopForm):
    name = forms.CharField(label="They are called", max_length=80)
    rule = forms.ChoiceField(label="They count board feet", choices=Supplier.Rule.choices)
    thin_as_inch = forms.BooleanField(
        label="Stock thinner than an inch is charged as an inch", required=False, help_text="Ask them; many do."
    )
    tax = PercentFormField(label="Tax on what they sell", most=100)
    tax_included = forms.BooleanField(label="Their prices hold the tax already", required=False)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def values(self) -> dict[str, object]:
        return {
            name: self.cleaned_data[name] for name in ("name", "rule", "thin_as_inch", "tax", "tax_included", "note")
        }


def _day(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "That is no day. Write it like 2026-03-02."},
        **kwargs,
    )


class LineForm(ShopForm):
    """Boards alike: one line of a delivery. ``woods`` are the choices of woods, ``unit`` that of bare numbers."""

    wood = forms.ChoiceField(label="Wood")
    thickness = ThicknessFormField(label="Thickness", help_text="As it is sold: 4/4, 5/4, 8/4, or a length.")
    width = LengthFormField(label="Width")
    length = LengthFormField(label="Length")
    count = CountFormField(label="Boards alike", least=1, most=MOST_BOARDS, initial=1)
    price = MoneyFormField(label="Price", exponent=4)
    per = forms.ChoiceField(label="for", choices=Lot.Per.choices)
    mass = DecimalFormField(label="What the line weighs", places=3, most=999_999, suffix="kg", required=False)
    measured = LengthFormField(
        label="Thickness as it lies", required=False, help_text="Where it differs from what it is sold as."
    )
    grade = forms.CharField(label="Grade", max_length=40, required=False)
    surfaced = forms.BooleanField(label="Surfaced", required=False)
    cut = forms.ChoiceField(label="Cut", choices=Lot.Cut.choices, required=False)
    sapwood = forms.BooleanField(label="Has sapwood", required=False)
    shade = forms.CharField(label="Shade", max_length=40, required=False, help_text="In your words: dark, reddish.")
    moisture = DecimalFormField(label="Meter reading", places=1, most=MOST_MOISTURE, suffix="%", required=False)
    moisture_on = _day("Read on", help_text="Left empty, the day of the delivery.")
    fit_on = _day("Fit to mill from")
    place = forms.CharField(label="It will lie", max_length=60, required=False)
    gift = forms.BooleanField(label="A gift: it cost nothing", required=False)
    longer = forms.BooleanField(label="It is longer than 10 m indeed", required=False)
    reading = forms.BooleanField(label="The meter did show that", required=False)

    def __init__(self, data=None, *, shop, woods, unit_shown: str = "", **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.unit_shown = unit_shown or unit_of(data, shop.unit)
        self.fields["wood"].choices = woods
        self.fields["price"].suffix = shop.currency_symbol
        for name in ("thickness", "width", "length", "measured"):
            self.fields[name].unit = self.unit_shown

    def clean_moisture(self):
        moisture = self.cleaned_data["moisture"]
        if moisture == 0:
            raise forms.ValidationError("No wood reads nought. Write what the meter showed, or leave it empty.")
        return moisture

    def clean(self) -> dict:
        typed = super().clean()
        if typed.get("price") == 0 and not typed.get("gift"):
            self.add_error("price", f"{GIFT} Write what it cost, or tick that it was a gift.")
        if (length := typed.get("length")) and length > ASKED_BEYOND and not typed.get("longer"):
            self.add_error("length", f"{LONGER} Look at the unit, or tick that it is as long as that.")
        if (moisture := typed.get("moisture")) is not None and is_odd_reading(moisture) and not typed.get("reading"):
            self.add_error("moisture", f"{READING} Look at the meter, or tick that it did show that.")
        if "moisture" in typed and "moisture_on" in typed and "fit_on" in typed:
            for name, words in day_amiss(moisture, typed["moisture_on"], typed["fit_on"], timezone.localdate()):
                self.add_error(name, words)
        if typed.get("per") == Lot.Per.KILOGRAM and not self.errors.get("mass") and not typed.get("mass"):
            self.add_error("mass", "A price by the kilogram needs the mass. Write what the boards of this line weigh.")
        return typed

    def line(self) -> BoughtLine:
        typed = self.cleaned_data
        return BoughtLine(
            wood=typed["wood"],
            thickness=typed["measured"] or typed["thickness"],
            nominal_thickness=typed["thickness"],
            width=typed["width"],
            length=typed["length"],
            count=typed["count"],
            price=typed["price"],
            per=typed["per"],
            mass_kg=typed["mass"],
            place=typed["place"],
            facts={name: typed[name] for name in LOT_FACTS},
        )

    def as_typed(self) -> dict[str, str]:
        """The line's words as they were sent, to travel on with the form."""
        found = {name: str(self.data.get(name, "")).strip() for name in LINE_FIELDS}
        return {name: text for name, text in found.items() if text}

    # What stands open, what is folded away, and what is only asked when there is a reason.

    def first_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("wood", "thickness", "width", "length", "count", "price", "per")]

    def more_fields(self) -> list[forms.BoundField]:
        names = ("measured", "mass", "grade", "cut", "surfaced", "sapwood", "shade", "place")
        return [self[name] for name in (*names, "moisture", "moisture_on", "fit_on")]

    def asked(self) -> list[forms.BoundField]:
        asked = (("gift", "price"), ("longer", "length"), ("reading", "moisture"))
        return [self[n] for n, because in asked if self[n].value() or (self.is_bound and self.errors.get(because))]

    def more_in_error(self) -> bool:
        return self.is_bound and any(bound.errors for bound in self.more_fields())


class BuyForm(LineForm):
    """A whole delivery between two presses: its facts, the line being typed, and ``lines`` typed so far.

    ``doing`` is what was pressed: only "add" reads the line being typed, and "remove" reads nothing of the facts.
    """

    supplier = forms.ChoiceField(
        label="Bought from",
        error_messages={"invalid_choice": "They are not among your suppliers any more. Choose one of the list."},
    )
    on = forms.DateField(label="On", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    reference = forms.CharField(label="Number of the ticket", max_length=60, required=False)
    carriage = MoneyFormField(label="Carriage", initial=0, help_text="Shared among the boards by volume.")
    note = forms.CharField(label="Note", max_length=200, required=False)
    lines = forms.CharField(widget=forms.HiddenInput, required=False)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data=None, *, shop, woods, suppliers, doing: str = "add", **kwargs) -> None:
        super().__init__(data, shop=shop, woods=woods, **kwargs)
        self.shop, self.woods, self.doing = shop, woods, doing
        self.suppliers = {str(row.pk): row for row in suppliers}
        self.fields["supplier"].choices = [(key, row.name) for key, row in self.suppliers.items()]
        self.fields["carriage"].suffix = shop.currency_symbol
        self.fields["carriage"].exponent = shop.currency_exponent
        self.kept: list[dict[str, str]] = []
        self.bought: list[BoughtLine] = []

    def full_clean(self) -> None:
        super().full_clean()
        if self.is_bound and self.doing != "add":
            # What is written of the next board is neither read nor refused.
            for name in (*LINE_FIELDS, *(FACTS if self.doing == "remove" else ())):
                self._errors.pop(name, None)

    def clean_on(self):
        on = self.cleaned_data["on"]
        if words := no_delivery_day(on, timezone.localdate()):
            raise forms.ValidationError(words)
        return on

    def clean_lines(self) -> str:
        """The lines typed so far, each read again as if it were typed now."""
        text = self.cleaned_data["lines"] or "[]"
        lost = "The boards added so far could not be read any more. Add them again."
        try:
            rows = json.loads(text)
        except (ValueError, RecursionError):
            rows = None
        if not isinstance(rows, list) or len(rows) > MOST_TYPED or not all(isinstance(row, dict) for row in rows):
            raise forms.ValidationError(lost)
        for row in rows:
            form = LineForm(row, shop=self.shop, woods=self.woods, unit_shown=self.unit_shown)
            if not form.is_valid():
                self.kept, self.bought = [], []
                raise forms.ValidationError(lost)
            self.kept.append(form.as_typed())
            self.bought.append(form.line())
        return text

    def facts(self) -> DeliveryFacts | None:
        """None while there is no supplier to count by."""
        typed = self.cleaned_data
        if not typed.get("supplier"):
            return None
        on = typed.get("on") or timezone.localdate()
        return DeliveryFacts(
            self.suppliers[typed["supplier"]],
            on,
            typed.get("reference", ""),
            typed.get("carriage") or 0,
            typed.get("note", ""),
        )

    def typed_facts(self) -> dict[str, str]:
        return {name: self.data.get(name, "") for name in FACTS}

    def is_another_board(self) -> bool:
        """Whether what is written of a board is another than the last one added; without a size it is none."""
        typed = self.as_typed()
        if not self.kept:
            return True
        return bool(typed.get("width") or typed.get("length")) and typed != self.kept[-1]

    def fact_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in FACTS]

    def facts_in_error(self) -> bool:
        return self.is_bound and any(bound.errors for bound in self.fact_fields())

    def summary(self) -> list[dict[str, str]]:
        """With what is wrong in what travels unseen, which has no field to go to."""
        hidden = [{"id": "", "label": "", "message": words} for words in self["lines"].errors]
        return hidden + super().summary()
