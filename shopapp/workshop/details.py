"""What details of a board take: minutes of each, and what a piece of its hardware costs."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from shopapp.common.fields import MoneyFormField, NumberFormField, plain_number

from .forms import SectionForm
from .planning import DETAILS
from .telling import amount


class DetailsForm(SectionForm):
    """A field for the minutes of each detail, and one for the price of its hardware where it has any. What is
    as it was assumed is not kept as the maker's own."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        written, workshop = self.workshop.details, self.workshop
        for key, kind in DETAILS.items():
            own = written.get(key, {})
            self.fields[f"minutes_{key}"] = NumberFormField(
                label=kind.words,
                least=0,
                most=10_000,
                suffix=f"min {kind.each}",
                initial=Fraction(own.get("minutes", kind.minutes)),
                help_text=f"{plain_number(kind.minutes)} is an assumption from memory.",
            )
            if kind.hardware:
                self.fields[f"price_{key}"] = MoneyFormField(
                    label=f"{kind.words}: a piece costs",
                    exponent=workshop.currency_exponent,
                    suffix=workshop.currency_symbol,
                    initial=Decimal(own.get("price", kind.price)),
                    help_text=f"A board takes {kind.hardware}. {amount(kind.price, workshop)} is an assumption.",
                )

    def changes(self) -> dict[str, object]:
        found: dict[str, dict[str, str]] = {}
        for key, kind in DETAILS.items():
            assumed = {"minutes": kind.minutes, "price": kind.price}
            typed = {part: self.cleaned_data.get(f"{part}_{key}", assumed[part]) for part in assumed}
            own = {part: str(value) for part, value in typed.items() if value != assumed[part]}
            if own:
                found[key] = own
        return {"details": found}
