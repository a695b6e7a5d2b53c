"""What details of a board take: minutes of each, and what a piece of its hardware costs."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from shopapp.common.fields import MoneyFormField, NumberFormField, plain_number

from .forms import SectionForm
from .planning import DETAILS
from .telling import amount

_NOTHING = (None, "")


class DetailsForm(SectionForm):
    """A field for the minutes of each detail, and one for the price of its hardware where it has any. Empty keeps what
    is assumed."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        written, workshop = self.workshop.details, self.workshop
        for key, kind in DETAILS.items():
            own = written.get(key, {})
            assumed = plain_number(kind.minutes)
            self.fields[f"minutes_{key}"] = NumberFormField(
                label=kind.words,
                required=False,
                least=0,
                most=10_000,
                suffix=f"min {kind.each}",
                initial=Fraction(own["minutes"]) if "minutes" in own else None,
                help_text=f"Empty: {assumed}, an assumption from memory.",
            )
            if kind.hardware:
                self.fields[f"price_{key}"] = MoneyFormField(
                    label=f"{kind.words}: a piece costs",
                    required=False,
                    exponent=workshop.currency_exponent,
                    suffix=workshop.currency_symbol,
                    initial=Decimal(own["price"]) if "price" in own else None,
                    help_text=f"A board takes {kind.hardware}. Empty: {amount(kind.price, workshop)}, an assumption.",
                )

    def changes(self) -> dict[str, object]:
        found: dict[str, dict[str, str]] = {}
        for key in DETAILS:
            own = {
                part: str(value)
                for part in ("minutes", "price")
                if (value := self.cleaned_data.get(f"{part}_{key}")) not in _NOTHING
            }
            if own:
                found[key] = own
        return {"details": found}
