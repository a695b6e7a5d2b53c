"""How the workshop sells: what is asked, tax, friends, and the fees of its channel in rows filled and emptied."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from django import forms

from planner.errors import PlannerError
from shopapp.common.fields import MoneyFormField, PercentFormField, plain_number

from .forms import Said, SectionForm
from .models import Workshop
from .planning import NoPrice, Terms, fee_of, margin_of, markup_of, price_for, share_left

MOST_FEES = 8
# Under a tenth of the price left for the board, a little more fee or margin makes it much dearer (arithmetic).
LEAST_KEPT = Fraction(1, 10)
# Any cost tells whether a price exists.
_A_COST = Decimal(100)
_PARTS = ("name", "percent", "fixed", "minimum", "cap", "on_carriage", "on_tax")


class SellingForm(SectionForm):
    asks = forms.ChoiceField(
        label="You ask", choices=Workshop.Asks.choices, help_text="Of every sale, unless a board asks another."
    )
    margin = PercentFormField(label="Margin, of the price", least=0, most=99)
    markup = PercentFormField(label="Markup, on the cost", least=0, most=Fraction(99_999))
    profit = MoneyFormField(label="A sum of money", suffix="€")
    friends = PercentFormField(label="Friends are let off", least=0, most=100, help_text="Shown beside every price.")
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

    def __init__(self, data=None, *, workshop: Workshop, **kwargs) -> None:
        super().__init__(data, workshop=workshop, **kwargs)
        # Both of the two shares are said, whichever is asked, for they are easily taken for each other.
        self.fields["margin"].help_text = f"{plain_number(workshop.margin * 100, 2)} % of a price without fees is " + (
            f"{plain_number(markup_of(workshop.margin) * 100, 2)} % on its cost."
        )
        self.fields["markup"].help_text = (
            f"{plain_number(workshop.markup * 100, 2)} % on a cost without fees is "
            f"{plain_number(margin_of(workshop.markup) * 100, 2)} % of the price."
        )
        fees = list(workshop.fees.all()) if workshop.edit_version else []
        self.stored_fees = [vars(fee) for fee in fees]
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
                f"fee_{i}_fixed": _amount(f"{called}, fixed", fee and fee.fixed, workshop),
                f"fee_{i}_minimum": _amount(f"{called}, at least", fee and fee.minimum, workshop),
                f"fee_{i}_cap": _amount(f"{called}, at most", fee and fee.cap, workshop),
                f"fee_{i}_on_carriage": forms.BooleanField(
                    label=f"{called}, on carriage too", required=False, initial=fee.on_carriage if fee else True
                ),
                f"fee_{i}_on_tax": forms.BooleanField(
                    label=f"{called}, on tax too", required=False, initial=fee.on_tax if fee else False
                ),
            }
            self.fields.update(made)

    def plain_fields(self) -> list[forms.BoundField]:
        return [field for field in self.visible_in_order() if not field.name.startswith("fee_")]

    def fee_rows(self) -> list[list[forms.BoundField]]:
        """The fees there are, and an empty row for one more."""
        return self._rows()[: self._rows_used() + 1]

    def more_fee_rows(self) -> list[list[forms.BoundField]]:
        """Rows folded away until they are wanted."""
        return self._rows()[self._rows_used() + 1 :]

    def _rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"fee_{i}_{part}"] for part in _PARTS] for i in range(MOST_FEES)]

    def _rows_used(self) -> int:
        used = [i for i, row in enumerate(self._rows()) if any(field.value() for field in row[:5])]
        return max(used, default=-1) + 1

    def clean(self) -> dict:
        data = super().clean()
        if self.errors:
            return data
        for i in range(MOST_FEES):
            name, least, most = (data[f"fee_{i}_{part}"] for part in ("name", "minimum", "cap"))
            worth = data[f"fee_{i}_percent"] or data[f"fee_{i}_fixed"] or least
            if (worth or most) and not name:
                self.add_error(f"fee_{i}_name", "Name this fee, so that a price's sum can say what it is.")
            if name and not worth:
                self.add_error(
                    f"fee_{i}_percent", "This fee takes nothing. Write its share or its sum, or empty its name."
                )
            if least is not None and most is not None and most < least:
                self.add_error(f"fee_{i}_cap", "At most is less than at least. Write the larger sum here.")
        if not self.errors:
            self._look_for_a_price(data)
        return data

    def _look_for_a_price(self, data: Mapping) -> None:
        """Refused in the planner's words, which name every share that adds up."""
        terms = _terms(data, self.fees(), self.workshop.currency_exponent)
        try:
            price_for(_A_COST, terms)
        except NoPrice as error:
            dearest = max(range(MOST_FEES), key=lambda i: data[f"fee_{i}_percent"] or 0)
            self.add_error("margin" if terms.margin else f"fee_{dearest}_percent", str(error))
        except PlannerError as error:
            self.add_error(error.field if error.field in self.fields else None, str(error))

    def minded(self) -> list[Said]:
        said = super().minded()
        if not self.is_bound:
            values, fees = self.initial, self.stored_fees
        elif self.is_valid():
            values, fees = self.cleaned_data, self.fees()
        else:
            return said
        kept = share_left(_terms(values, fees, self.workshop.currency_exponent))
        if kept < LEAST_KEPT:
            what = "Fees and margin" if values["asks"] == "margin" else "Fees"
            words = f"{what} leave {plain_number(kept * 100)} % of the price for the board, so prices run high."
            said.append(Said(self["margin"], words))
        return said

    def fees(self) -> list[dict[str, object]]:
        data = self.cleaned_data
        worth = ("percent", "fixed", "minimum")
        rows = [i for i in range(MOST_FEES) if any(data.get(f"fee_{i}_{part}") for part in worth)]
        return [
            {
                "place": place,
                "name": data[f"fee_{i}_name"],
                "percent": data[f"fee_{i}_percent"] or Fraction(0),
                "fixed": data[f"fee_{i}_fixed"] or Decimal(0),
                "minimum": data[f"fee_{i}_minimum"],
                "cap": data[f"fee_{i}_cap"],
                "on_carriage": data[f"fee_{i}_on_carriage"],
                "on_tax": data[f"fee_{i}_on_tax"],
            }
            for place, i in enumerate(rows)
        ]

    def changes(self) -> dict[str, object]:
        names = ("asks", "margin", "markup", "profit", "friends", "ending", "tax", "tax_included")
        return {name: self.cleaned_data[name] for name in names}


def _amount(label: str, value: Decimal | None, workshop: Workshop) -> MoneyFormField:
    return MoneyFormField(
        label=label,
        exponent=workshop.currency_exponent,
        suffix=workshop.currency_symbol,
        required=False,
        initial=value,
    )


def _terms(values: Mapping, fees: Iterable[Mapping[str, object]], exponent: int) -> Terms:
    """What of the settings decides whether a price exists."""
    return Terms(
        fees=tuple(fee_of(fee) for fee in fees),
        tax=values["tax"],
        tax_included=values["tax_included"],
        margin=values["margin"] if values["asks"] == "margin" else Fraction(0),
        exponent=exponent,
        ending=values["ending"],
    )
