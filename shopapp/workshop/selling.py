"""How the workshop sells: margin, tax, carriage, and the fees of its channel in rows that are filled and emptied."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from django import forms

from shopapp.common.fields import MoneyFormField, PercentFormField, plain_number

from .forms import Said, SectionForm
from .models import Workshop

MOST_FEES = 8
# Under a tenth of the price left for the board, a little more fee or margin makes it much dearer (arithmetic).
LEAST_KEPT = Fraction(1, 10)


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

    def __init__(self, data=None, *, workshop: Workshop, **kwargs) -> None:
        super().__init__(data, workshop=workshop, **kwargs)
        fees = list(workshop.fees.all()) if workshop.edit_version else []
        self.stored_fees = [{"percent": fee.percent, "on_tax": fee.on_tax} for fee in fees]
        for i in range(MOST_FEES):
            fee = fees[i] if i < len(fees) else None
            called = f"Fee {i + 1}"
            made = {
                f"fee_{i}_name": forms.CharField(
                    label=f"{called}, its name", max_length=40, required=False, initial=fee.name if fee else ""
                ),
                f"fee_{i}_percent": PercentFormField(
                    label=f"{called}, of the sale",
                    least=0,
                    most=100,
                    required=False,
                    initial=fee.percent if fee else None,
                ),
                f"fee_{i}_fixed": MoneyFormField(
                    label=f"{called}, fixed", suffix="€", required=False, initial=fee.fixed if fee else None
                ),
                f"fee_{i}_on_carriage": forms.BooleanField(
                    label=f"{called}, on carriage too", required=False, initial=fee.on_carriage if fee else True
                ),
                f"fee_{i}_on_tax": forms.BooleanField(
                    label=f"{called}, on tax too", required=False, initial=fee.on_tax if fee else False
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
        """The fees there are, and an empty row for one more."""
        return self._rows()[: self._rows_used() + 1]

    def more_fee_rows(self) -> list[list[forms.BoundField]]:
        """Rows folded away until they are wanted."""
        return self._rows()[self._rows_used() + 1 :]

    def _rows(self) -> list[list[forms.BoundField]]:
        parts = ("name", "percent", "fixed", "on_carriage", "on_tax")
        return [[self[f"fee_{i}_{part}"] for part in parts] for i in range(MOST_FEES)]

    def _rows_used(self) -> int:
        used = [i for i, row in enumerate(self._rows()) if any(field.value() for field in row[:3])]
        return max(used, default=-1) + 1

    def clean(self) -> dict:
        data = super().clean()
        if self.errors:
            return data
        if _kept_of_price(data["margin"], data["tax"], self.fees()) <= 0:
            self.add_error(
                "margin",
                "Fees and margin together take the whole price, so no price exists. Ask less or check the fees.",
            )
        for i in range(MOST_FEES):
            name, worth = data[f"fee_{i}_name"], data[f"fee_{i}_percent"] or data[f"fee_{i}_fixed"]
            if worth and not name:
                self.add_error(f"fee_{i}_name", "Name this fee, so that a price's sum can say what it is.")
            if name and not worth:
                self.add_error(
                    f"fee_{i}_percent", "This fee takes nothing. Write its share or its sum, or empty its name."
                )
        return data

    def minded(self) -> list[Said]:
        said = super().minded()
        if not self.is_bound:
            values, fees = self.initial, self.stored_fees
        elif self.is_valid():
            values, fees = self.cleaned_data, self.fees()
        else:
            return said
        kept = _kept_of_price(values["margin"], values["tax"], fees)
        if kept < LEAST_KEPT:
            words = (
                f"Fees and margin leave {plain_number(kept * 100)} % of the price for the board, so prices run high."
            )
            said.append(Said(self["margin"], words))
        return said

    def fees(self) -> list[dict[str, object]]:
        data = self.cleaned_data
        rows = [i for i in range(MOST_FEES) if data.get(f"fee_{i}_percent") or data.get(f"fee_{i}_fixed")]
        return [
            {
                "place": place,
                "name": data[f"fee_{i}_name"],
                "percent": data[f"fee_{i}_percent"] or Fraction(0),
                "fixed": data[f"fee_{i}_fixed"] or Decimal(0),
                "on_carriage": data[f"fee_{i}_on_carriage"],
                "on_tax": data[f"fee_{i}_on_tax"],
            }
            for place, i in enumerate(rows)
        ]

    def changes(self) -> dict[str, object]:
        names = ("margin", "ending", "tax", "tax_included", "carriage_charged", "carriage_paid")
        return {name: self.cleaned_data[name] for name in names}


def _kept_of_price(margin: Fraction, tax: Fraction, fees: Iterable[Mapping[str, object]]) -> Fraction:
    """What each 1.00 of the net price leaves for the board, once its fees and the margin are gone."""
    taken = sum((fee["percent"] * (1 + tax if fee["on_tax"] else 1) for fee in fees), Fraction(0))
    return 1 - margin - taken
