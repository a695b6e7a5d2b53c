"""What may be done to a piece on its page."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import PercentFormField
from shopapp.jobs.models import Job
from shopapp.listings.models import Channel, Fair, Piece
from shopapp.listings.selling.forms import ActForm, GivenForm, no_day_to_come
from shopapp.quotes.forms import day_field

from .instead import may_be_meant
from .moving import TO, Going


class MoveForm(ActForm):
    act, title, button = "moved", "It is somewhere else", "Write it down"
    where = forms.ChoiceField(label="Where it is", choices=[(one.value, one.label) for one in TO])
    on = day_field("Since")
    channel = forms.ModelChoiceField(
        label="Which shop", queryset=Channel.objects.filter(kept=True, kind=Channel.Kind.SHOP), required=False,
        empty_label="none",
    )  # fmt: skip
    commission = PercentFormField(
        label="The shop keeps", least=0, most=100, required=False, help_text="Empty for what it usually keeps."
    )
    back_by = day_field("Back by", required=False)
    fair = forms.ModelChoiceField(label="Which fair", queryset=Fair.objects.all(), required=False, empty_label="none")
    words = forms.CharField(label="What is to be said of it", max_length=200, required=False)

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"], "it is there")

    def going(self) -> Going:
        return Going(**{name: self.cleaned_data[name] for name in Going.__dataclass_fields__})


class GiftBackForm(ActForm):
    act, title, button = "gift-back", "The gift came back", "It is here again"
    on = day_field("On")

    def clean_on(self):
        return no_day_to_come(self.cleaned_data["on"])


class InsteadForm(GivenForm):
    """A remake went to whoever the piece before it was for."""

    act, button = "instead", "It went in its place"
    to_whom = None

    def __init__(self, data=None, *, record: Piece, **kwargs) -> None:
        super().__init__(data, record=record, **kwargs)
        self.title = f"It went out in the place of No. {record.instead_of.number}"


class DetailsForm(ActForm):
    """What may be changed of a piece: its name and what is kept of it, and which it stands in for. Its facts stay."""

    act, title, button = "details", "Its name and its spare tiles", "Keep this"
    title_is = forms.CharField(label="What it is called", max_length=80)
    spares = forms.CharField(label="Spare tiles kept", max_length=200, required=False)

    instead_of = forms.ModelChoiceField(
        label="It stands in for", queryset=Piece.objects.none(), required=False, empty_label="no other piece"
    )

    def __init__(self, data=None, *, record: Piece, **kwargs) -> None:
        initial = {"title_is": record.title, "spares": record.spares, "instead_of": record.instead_of_id}
        super().__init__(data, record=record, initial=initial, **kwargs)
        self.fields["instead_of"].queryset = may_be_meant(record.job)
        if record.job.kind != Job.Kind.REMAKE:
            del self.fields["instead_of"]
