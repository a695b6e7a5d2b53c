"""Carriage: what the buyer pays, the carrier's tariff in rows that are filled and emptied, and the packing."""

from __future__ import annotations

from fractions import Fraction

from django import forms

from shopapp.common.fields import CountFormField, DecimalFormField, LengthFormField, MoneyFormField

from .forms import COMMON, SectionForm
from .models import Workshop

MOST_ROWS = 10
_NAMES = (
    "carriage_charged", "carriage_paid", "carrier_divisor", "carrier_step", "packed_around", "packing_grams",
)  # fmt: skip


class CarriageForm(SectionForm):
    carriage_charged = MoneyFormField(label="Carriage charged to the buyer", suffix="€")
    carriage_paid = MoneyFormField(
        label="Carriage you pay", suffix="€", help_text="Counts while no tariff is written below."
    )
    packed_around = LengthFormField(
        label="Packing around a board, on every side", allow_zero=True, help_text="Carton included. " + COMMON
    )
    packing_grams = CountFormField(
        label="Carton and filling weigh", least=0, most=100_000, help_text="In grams. Weigh yours; " + COMMON.lower()
    )
    carrier_divisor = CountFormField(
        label="Cubic centimetres counted as a kilogram",
        least=0,
        most=100_000,
        help_text="From the carrier’s conditions; 5000 and 6000 are common. 0 where mass alone counts.",
    )
    carrier_step = DecimalFormField(
        places=3, most=100, label="Masses go up in steps of", suffix="kg", help_text="0 for the mass as it is."
    )

    def __init__(self, data=None, *, workshop: Workshop, **kwargs) -> None:
        super().__init__(data, workshop=workshop, **kwargs)
        for i in range(MOST_ROWS):
            kg, price = workshop.carrier_tariff[i] if i < len(workshop.carrier_tariff) else (None, None)
            called = f"Tariff, line {i + 1}"
            self.fields[f"tariff_{i}_kg"] = DecimalFormField(
                places=3, least=0, most=10_000, label=f"{called}, up to", suffix="kg", required=False, initial=kg
            )
            self.fields[f"tariff_{i}_price"] = MoneyFormField(
                exponent=workshop.currency_exponent,
                label=f"{called}, price",
                suffix=workshop.currency_symbol,
                required=False,
                initial=price,
            )

    def plain_fields(self) -> list[forms.BoundField]:
        return [field for field in self.visible_in_order() if not field.name.startswith("tariff_")]

    def tariff_rows(self) -> list[list[forms.BoundField]]:
        """The lines there are, and an empty one for another."""
        return self._rows()[: self._rows_used() + 1]

    def more_tariff_rows(self) -> list[list[forms.BoundField]]:
        return self._rows()[self._rows_used() + 1 :]

    def _rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"tariff_{i}_{part}"] for part in ("kg", "price")] for i in range(MOST_ROWS)]

    def _rows_used(self) -> int:
        used = [i for i, row in enumerate(self._rows()) if any(field.value() for field in row)]
        return max(used, default=-1) + 1

    def clean(self) -> dict:
        data = super().clean()
        seen: set[Fraction] = set()
        for i in range(MOST_ROWS):
            kg, price = data.get(f"tariff_{i}_kg"), data.get(f"tariff_{i}_price")
            if price is not None and not kg and f"tariff_{i}_kg" not in self.errors:
                self.add_error(f"tariff_{i}_kg", "Write up to how many kilograms this price goes, or empty the line.")
            elif kg and price is None and f"tariff_{i}_price" not in self.errors:
                self.add_error(f"tariff_{i}_price", "Write what the carrier asks up to that mass, or empty the line.")
            elif kg is not None and kg == 0 and price is None:
                self.add_error(f"tariff_{i}_kg", "A parcel weighs something. Write up to how many kilograms.")
            elif kg and kg in seen:
                self.add_error(f"tariff_{i}_kg", "Another line goes up to the same mass. Keep one of the two.")
            elif kg:
                seen.add(kg)
        return data

    def changes(self) -> dict[str, object]:
        data = self.cleaned_data
        typed = [(data[f"tariff_{i}_kg"], data[f"tariff_{i}_price"]) for i in range(MOST_ROWS)]
        # The lightest first, however they were typed.
        rows = sorted((kg, price) for kg, price in typed if kg)
        tariff = [[f"{kg.normalize():f}", str(price)] for kg, price in rows]
        return {**{name: data[name] for name in _NAMES}, "carrier_tariff": tariff}
