"""A table as it is brought: pasted or as a file, what holds for all its lines, and the answers to what is asked."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from shopapp.common.fields import MoneyFormField
from shopapp.common.forms import ShopForm
from shopapp.lumber.buying.forms import FACTS
from shopapp.lumber.buying.sense import no_delivery_day
from shopapp.lumber.models import Lot

from .deliveries import Given
from .reading import MOST_FAULTS, Fault
from .sheet import MOST_BYTES, TableError, text_of

TICKS = ("gift", "longer", "reading", "sellers")


class TableForm(ShopForm):
    """A table to look at, and then to book."""

    table = forms.CharField(
        label="The cells, with the names of the columns in the first line",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "autocomplete": "off", "wrap": "off"}),
    )
    file = forms.FileField(
        label="Or a CSV file",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,text/csv,text/plain,text/tab-separated-values"}),
    )
    unit = forms.ChoiceField(label="Lengths without a unit are in", choices=[("mm", "mm"), ("in", "inches")])
    per = forms.ChoiceField(label="Prices are for", choices=Lot.Per.choices)
    supplier = forms.ChoiceField(
        label="Bought from",
        required=False,
        error_messages={"invalid_choice": "They are not among your suppliers any more. Choose one of the list."},
    )
    on = forms.DateField(label="On", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    reference = forms.CharField(label="Number of the ticket", max_length=60, required=False)
    carriage = MoneyFormField(
        label="Carriage", initial=0, required=False, help_text="Shared among the boards by volume."
    )
    note = forms.CharField(label="Note", max_length=200, required=False)
    gift = forms.BooleanField(label="They were gifts", required=False)
    longer = forms.BooleanField(label="They are as long as that", required=False)
    reading = forms.BooleanField(label="The meter did show that", required=False)
    sellers = forms.BooleanField(label="Add them to those I buy from", required=False)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data=None, files=None, *, shop, suppliers, **kwargs) -> None:
        # What a file held is shown in the place of pasted cells, so that nothing is lost when the page comes back.
        super().__init__(data.copy() if data is not None else None, files, **kwargs)
        self.suppliers = {str(row.pk): row for row in suppliers}
        self.fields["supplier"].choices = [
            ("", "whoever the table names"),
            *((k, r.name) for k, r in self.suppliers.items()),
        ]
        self.fields["carriage"].suffix = shop.currency_symbol
        self.fields["carriage"].exponent = shop.currency_exponent
        self.faults: list[Fault] = []

    def clean_on(self):
        on = self.cleaned_data["on"] or timezone.localdate()
        if words := no_delivery_day(on, timezone.localdate()):
            raise forms.ValidationError(words)
        return on

    def clean(self) -> dict:
        typed = super().clean()
        if upload := typed.get("file"):
            try:
                text = text_of(upload.read(MOST_BYTES + 1))
            except TableError as error:
                self.add_error("file", str(error))
            else:
                typed["table"] = self.data["table"] = text
        return typed

    def given(self) -> Given:
        typed = self.cleaned_data
        return Given(
            self.suppliers.get(typed["supplier"]),
            typed["on"],
            typed["reference"],
            typed["carriage"] or 0,
            typed["note"],
        )

    def tell(self, faults: list[Fault]) -> None:
        """Refuse the table for what is wrong in it; each is named at the top of the page."""
        self.faults = faults[:MOST_FAULTS]
        many = len(faults) > 1
        self.add_error("table", "What is wrong in it is named at the top." if many else str(faults[0]))

    def fact_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in FACTS]

    def facts_in_error(self) -> bool:
        return self.is_bound and any(bound.errors for bound in self.fact_fields())

    def reading_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("unit", "per")]

    def summary(self) -> list[dict[str, str]]:
        """Every fault of the table by its line; ticks that are not asked for are not on the page."""
        lines = super().summary()
        if not self.faults:
            return lines
        told = [{"id": self["table"].id_for_label, "label": "", "message": str(fault)} for fault in self.faults]
        if len(self.faults) >= MOST_FAULTS:
            told.append({"id": "", "label": "", "message": "There may be more; these come first."})
        return told + [line for line in lines if line["id"] != self["table"].id_for_label]
