"""Another price, and what a friend is let off: sent as an address, for they change nothing."""

from __future__ import annotations

from shopapp.common.fields import MoneyFormField, PercentFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.models import Workshop


class AskForm(ShopForm):
    ask = MoneyFormField(label="What if I ask", required=False, help_text="Empty for the price as it was kept.")
    friends = PercentFormField(label="A friend is let off", least=0, most=100, required=False)

    def __init__(self, data, *, workshop: Workshop, shop: Workshop, **kwargs) -> None:
        """``shop`` has the currency the plan was kept in."""
        super().__init__(data, **kwargs)
        field = self.fields["ask"]
        field.exponent, field.suffix = shop.currency_exponent, shop.currency_symbol
        self.usual = workshop.friends

    @classmethod
    def of(cls, address, *, workshop: Workshop, shop: Workshop) -> AskForm:
        """As the address asks, with what friends are usually let off where it does not say."""
        typed = {name: address.get(name, "")[:200] for name in ("ask", "friends")}
        form = cls(typed, workshop=workshop, shop=shop)
        if "friends" not in address:
            form.data["friends"] = form.fields["friends"].show(workshop.friends)
        return form
