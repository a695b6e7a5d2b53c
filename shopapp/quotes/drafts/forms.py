"""What is written into a draft; of two who change one at once each keeps what they typed, and sees the other's."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField, PercentFormField
from shopapp.common.forms import ShopForm, as_text
from shopapp.people.choosing import PersonField, Typed
from shopapp.plans.models import Plan
from shopapp.quotes.forms import day_field, long_field
from shopapp.quotes.models import DraftOption, QuoteDraft
from shopapp.workshop.models import Workshop

from .facts import DraftFacts, OptionFacts

# Longer ahead, a slip of the year is likelier.
_MOST_DAYS = 3660


class WantedForm(ShopForm):
    """What is known of an enquiry: title, for whom, by when; a name that is in no book yet is written into it."""

    title = forms.CharField(label="What it is called", max_length=80)
    person = PersonField(label="For whom", required=False)
    wanted_by = day_field("Wanted by", required=False, help_text="Empty where no day was named.")

    def clean_wanted_by(self):
        return _near(self.cleaned_data["wanted_by"])


def _near(day):
    if day and abs(day - timezone.localdate()) > timedelta(days=_MOST_DAYS):
        raise forms.ValidationError("That is more than ten years from today. Look at the year.")
    return day


class BeginForm(WantedForm):
    """``plans`` are kept plans to begin with, each an option."""

    def __init__(self, data=None, *, plans: Sequence[Plan] = (), labels: Sequence[str] = (), **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.plans = {str(plan.pk): plan for plan in plans}
        if plans:
            self.fields["plans"] = forms.MultipleChoiceField(
                label="Kept plans to offer",
                required=False,
                choices=list(zip(self.plans, labels, strict=True)),
                widget=forms.CheckboxSelectMultiple,
                help_text="Each is an option beside the others; more can come later.",
            )

    def chosen(self) -> list[Plan]:
        return [self.plans[key] for key in self.cleaned_data.get("plans", ())]


@dataclass
class Beside:
    """After somebody else's change: ``rows`` (name, label, what stands now, what was typed) where both changed the
    same, and what the form ``took`` over from them where only they did (label, what stands now)."""

    rows: list[tuple[str, str, str, str]] = field(default_factory=list)
    took: list[tuple[str, str]] = field(default_factory=list)


class DraftForm(WantedForm):
    """``shop`` is the shop with the options' currency; ``options`` the rows of the draft as they are now.

    ``opened`` comes with the page and says what every field held when it was opened, so that what one did not touch
    is never written over what another did.
    """

    valid_until = day_field("Valid until")
    there_by = day_field(
        "There by, if you say another day", required=False, help_text="Empty for the day the timetable comes to."
    )
    carriage = MoneyFormField(label="Carriage", help_text="For all boards; 0 where it is fetched.")
    deposit = PercentFormField(label="Deposit", least=0, most=100, help_text="Wood is bought once it is paid.")
    words = long_field("A few words to them", 600, required=False)
    care = long_field("Use and care", 300, required=False)
    left_out = long_field("What is left out", 300, required=False)
    terms = long_field("Terms", 600, required=False)
    called_off = long_field(
        "If it is called off", 600, 4, required=False, help_text="What becomes of deposit and wood. Not legal advice."
    )
    shows_sums = forms.BooleanField(
        label="Show what the price is made up of",
        required=False,
        help_text="Wood, supplies, hours and the rest; else these are yours alone.",
    )
    opened = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data=None, *, shop: Workshop, options: Sequence[DraftOption], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.options = list(options)
        for option in self.options:
            self.fields |= {
                f"label_{option.pk}": forms.CharField(
                    label=f"Option {option.place}, what it is called", max_length=80, initial=option.label
                ),
                f"price_{option.pk}": MoneyFormField(
                    label=f"Option {option.place}, price of a board", initial=option.price
                ),
            }
        for one in self.fields.values():
            if isinstance(one, MoneyFormField):
                one.exponent, one.suffix = shop.currency_exponent, shop.currency_symbol

    @classmethod
    def of(cls, draft: QuoteDraft, shop: Workshop, options: Sequence[DraftOption], data=None) -> DraftForm:
        facts = DraftFacts.of(draft)
        initial = {name: getattr(facts, name) for name in facts.__dataclass_fields__}
        given = {"shop": shop, "options": options, "initial": initial, "edit_version": draft.edit_version}
        fresh = cls(**given)
        if data is None:
            names = [name for name, one in fresh.fields.items() if not isinstance(one.widget, forms.HiddenInput)]
            fresh.fields["opened"].initial = json.dumps({name: _text(fresh[name]) for name in names})
            return fresh
        # What came with another's option is not missing, it was never seen.
        data = data.copy()
        for name in fresh.fields:
            if name.startswith(("label_", "price_")) and name not in data:
                data[name] = _raw(fresh[name])
        return cls(data, **given)

    def rows_of_options(self) -> list[tuple[DraftOption, forms.BoundField, forms.BoundField]]:
        return [(one, self[f"label_{one.pk}"], self[f"price_{one.pk}"]) for one in self.options]

    def clean_wanted_by(self):
        return _near(self.cleaned_data["wanted_by"])

    def clean_there_by(self):
        return _near(self.cleaned_data["there_by"])

    def clean_valid_until(self):
        day = _near(self.cleaned_data["valid_until"])
        if day and day < timezone.localdate():
            raise forms.ValidationError("It would have lapsed before it is made. Choose a later day.")
        return day

    def facts(self, draft: QuoteDraft) -> DraftFacts:
        """What was typed; what the form does not ask for stays as it is."""
        typed = self.cleaned_data
        stays = DraftFacts.of(draft)
        return DraftFacts(**{name: typed.get(name, getattr(stays, name)) for name in DraftFacts.__dataclass_fields__})

    def of_options(self) -> list[OptionFacts]:
        typed = self.cleaned_data
        return [
            OptionFacts(one.pk, typed[f"label_{one.pk}"], Decimal(typed[f"price_{one.pk}"])) for one in self.options
        ]

    def beside(self, now: DraftForm) -> Beside:
        """After a conflict: field by field, what only the other changed is taken over, what only this one changed is
        kept, and where both did both are told and what was typed here stays. The form then takes the version that
        stands."""
        opened = self._opened()
        data = self.data.copy()
        data["edit_version"] = str(now.fields["edit_version"].initial)
        data["opened"] = now.fields["opened"].initial
        found = Beside()
        for name, one in now.fields.items():
            if isinstance(one.widget, forms.HiddenInput):
                continue
            there = now[name]
            stands, base = _text(there), opened.get(name, "")
            typed = _text(self[name]) if name in self.fields else base
            if typed == stands:
                continue
            if typed == base or name not in self.fields:
                _put(data, name, there)
                found.took.append((str(one.label), stands or "nothing"))
            elif base != stands:
                found.rows.append((name, str(one.label), stands, typed))
        for name in opened.keys() - now.fields.keys():
            typed = self.data.get(name, "")
            label = "An option, what it is called" if name.startswith("label_") else "An option, its price"
            found.rows.append((name, label, "taken out of the quote", typed))
        self.data = data
        return found

    def _opened(self) -> dict[str, str]:
        """Nobody types it: what cannot be read says nothing."""
        try:
            said = json.loads(self.data.get("opened", ""))
        except (ValueError, RecursionError):
            return {}
        return {str(k): str(v) for k, v in said.items()} if isinstance(said, dict) else {}


class AtPriceForm(ShopForm):
    """What is being typed of an option's money; ``option`` has the row's number and price."""

    carriage = MoneyFormField(label="Carriage")
    deposit = PercentFormField(label="Deposit", least=0, most=100)

    def __init__(self, data=None, *, shop: Workshop, option: DraftOption, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields[f"price_{option.pk}"] = MoneyFormField(label="Price of a board")
        for one in self.fields.values():
            if isinstance(one, MoneyFormField):
                one.exponent, one.suffix = shop.currency_exponent, shop.currency_symbol


def _text(bound: forms.BoundField) -> str:
    return as_text(bound).replace("\r\n", "\n")


def _raw(bound: forms.BoundField) -> str:
    """What a browser would send for a field as it stands."""
    value = bound.value()
    return str(bound.field.widget.format_value(value) or "")


def _put(data, name: str, bound: forms.BoundField) -> None:
    if isinstance(bound.field, forms.BooleanField):
        if bound.value():
            data[name] = "on"
        else:
            data.pop(name, None)
    else:
        value = bound.value()
        data[name] = _raw(bound)
        if isinstance(value, Typed):
            data[f"{name}_is"] = value.taken
