"""By what the list of invoices is narrowed; it stands in the address."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm

from .readers import SHOWN


class ShowForm(ShopForm):
    """What stands in the address and is none of these is said, and narrows nothing."""

    words = forms.CharField(label="Number or name", max_length=80, required=False)
    show = forms.ChoiceField(label="Show", choices=list(SHOWN.items()), required=False)
    year = forms.ChoiceField(label="Year", required=False)

    def __init__(self, data, *, years: list[int], **kwargs) -> None:
        super().__init__(data, auto_id="show_%s", **kwargs)
        self.fields["year"].choices = [("", "Every year"), *((str(year), str(year)) for year in years)]

    def asked(self) -> tuple[int | None, str, str]:
        self.is_valid()
        typed = self.cleaned_data
        year = typed.get("year")
        return (int(year) if year else None, typed.get("show", ""), typed.get("words", ""))
