"""A consumable, and a small form for each thing that happens to it."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.fields import DecimalFormField, MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.models import Supplier, Supply

MOST = 999_999_999
NO_DAY = "That is no day of this book. Write a day since 1900 that has come."


class SupplyForm(ShopForm):
    name = forms.CharField(label="It is called", max_length=80)
    kind = forms.ChoiceField(label="It is", choices=Supply.Kind.choices)
    unit = forms.ChoiceField(
        label="Kept in", choices=Supply.Unit.choices, help_text="It cannot be changed later: its entries are in it."
    )
    low = DecimalFormField(
        label="Time to buy below", places=3, most=MOST, required=False, help_text="Empty: nobody is told."
    )
    place = forms.CharField(label="It stands", max_length=60, required=False)
    kept = forms.BooleanField(label="Still used here", required=False, initial=True)

    def __init__(self, data=None, *, row: Supply | None = None, **kwargs) -> None:
        super().__init__(data, **kwargs)
        if row is None:
            del self.fields["kept"]
        else:
            del self.fields["unit"]
            self.fields["low"].suffix = row.get_unit_display()

    def values(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in self.fields if name not in ("form_key", "edit_version")}


class HappenedForm(ShopForm):
    """Something that happened to a consumable on a day. ``act`` names it in the address and in its fields' ids."""

    act = ""
    title = ""
    button = ""
    amount = DecimalFormField(label="How much", places=3, most=MOST)
    on = forms.DateField(label="On", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))

    def __init__(self, data=None, *, supply: Supply, shop, **kwargs) -> None:
        initial = {"on": timezone.localdate(), **kwargs.pop("initial", {})}
        super().__init__(data, auto_id=f"{self.act}_%s", initial=initial, **kwargs)
        self.supply = supply
        self.fields["amount"].suffix = supply.get_unit_display()

    def clean_on(self):
        on = self.cleaned_data["on"]
        if on.year < 1900 or on > timezone.localdate() + timedelta(days=1):
            raise forms.ValidationError(NO_DAY)
        return on


class UsedForm(HappenedForm):
    act, title, button = "use", "Some was used", "Write it off"


class CountedForm(HappenedForm):
    act, title, button = "count", "It was counted", "Write what is there"
    amount = DecimalFormField(label="There is", places=3, most=MOST)


class BoughtForm(HappenedForm):
    act, title, button = "buy", "More was bought", "Put it in the book"
    cost = MoneyFormField(label="It cost in all", help_text="With its tax and carriage.")
    supplier = forms.ChoiceField(
        label="Bought from",
        required=False,
        error_messages={"invalid_choice": "They are not among your suppliers any more. Choose one of the list."},
    )
    gift = forms.BooleanField(label="A gift: it cost nothing", required=False)

    def __init__(self, data=None, *, supply: Supply, shop, **kwargs) -> None:
        super().__init__(data, supply=supply, shop=shop, **kwargs)
        self.fields["cost"].suffix, self.fields["cost"].exponent = shop.currency_symbol, shop.currency_exponent
        self.suppliers = {str(row.pk): row for row in Supplier.objects.all()}
        names = [(key, row.name) for key, row in self.suppliers.items()]
        self.fields["supplier"].choices = [("", "not noted"), *names]
        self.order_fields(["amount", "cost", "on", "supplier", "gift"])

    def clean_supplier(self) -> Supplier | None:
        return self.suppliers.get(self.cleaned_data["supplier"])

    def clean(self) -> dict:
        typed = super().clean()
        if typed.get("cost") == 0 and not typed.get("gift"):
            self.add_error("cost", "The cost is nothing. Write what it cost, or tick that it was a gift.")
        return typed

    def visible_in_order(self) -> list[forms.BoundField]:
        """Whether it was a gift is only asked when there is a reason."""
        asked = self["gift"].value() or (self.is_bound and "cost" in self.errors)
        return [bound for bound in super().visible_in_order() if bound.name != "gift" or asked]


FORMS: dict[str, type[HappenedForm]] = {form.act: form for form in (UsedForm, CountedForm, BoughtForm)}
