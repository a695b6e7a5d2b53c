"""What the buying list is for, and the share of waste one reckons with by habit; all of it stands in the address."""

from __future__ import annotations

from fractions import Fraction

from shopapp.common.fields import PercentFormField
from shopapp.common.forms import ShopForm

READY = Fraction(3, 10)


class BuyingForm(ShopForm):
    """Nothing asked at all stands for every open job."""

    waste = PercentFormField(
        label="Waste by rule of thumb",
        required=False,
        most=80,
        help_text="Only for the two rules of thumb told beside each wood; the list itself is planned.",
    )

    def __init__(self, data, **kwargs) -> None:
        super().__init__({"waste": data.get("waste", "").strip()[:12] or "30"}, auto_id="buy_%s", **kwargs)

    def clean_waste(self) -> Fraction:
        share = self.cleaned_data["waste"]
        return READY if share is None else share
