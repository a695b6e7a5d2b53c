"""What counts as a short; it stands in the address."""

from __future__ import annotations

from django import forms

from planner.measures import Length, format_length
from shopapp.common.fields import LengthFormField
from shopapp.common.forms import ShopForm


class ShortsForm(ShopForm):
    """Free pieces no longer than ``longest``, or every free piece. What is not asked is as it is ready."""

    longest = LengthFormField(label="No longer than", required=False)
    every = forms.BooleanField(label="Every free piece, however long", required=False)

    def __init__(self, data, *, shop, **kwargs) -> None:
        ready = format_length(ready_length(shop.unit), shop.unit, with_unit=False)
        asked = {"longest": data.get("longest", "").strip() or ready, "every": data.get("every", "")}
        super().__init__(asked, auto_id="show_%s", **kwargs)
        self.shop = shop
        self.fields["longest"].unit = shop.unit

    def clean_longest(self) -> Length | None:
        longest, shortest = self.cleaned_data["longest"], self.shop.shortest_machined
        if longest and longest < shortest:
            least = format_length(shortest, self.shop.unit)
            raise forms.ValidationError(
                f"Nothing shorter than {least} goes on a machine in this shop, so nothing would be counted. "
                f"Write {least} or more."
            )
        return longest


def ready_length(unit: str) -> Length:
    """What most would call a short (common practice, no source)."""
    return Length.of_inches(24) if unit == "in" else Length.of_mm(600)
