"""What is printed of which pieces, and the words that stand on all of it."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm
from shopapp.listings.models import CardWords, PiecePaper
from shopapp.lumber.labels.papers import MOST_ACROSS, MOST_DOWN
from shopapp.quotes.forms import long_field
from shopapp.workshop.models import Workshop

from . import wording
from .actions import Asked
from .papers import CARDS, LABELS, TAGS

Kind = PiecePaper.Kind
# The usual paper of each kind where a shop writes millimetres, and where it writes inches.
_USUAL = {
    Kind.CARE: ("a6", "quarter"),
    Kind.LABEL: ("a4-8-99", "letter-10"),
    Kind.TAGS: ("a4-24-70", "letter-30"),
}


class WordsForm(ShopForm):
    maker = forms.CharField(
        label="Made by", max_length=80, error_messages={"required": "Write who made it: a card says so."}
    )
    address = long_field("Where you are reached", 300, required=False)
    warnings = long_field("Warnings", 600, required=False)
    words = long_field("In your own words", 600, required=False)
    link = forms.RegexField(
        r"^https?://[^\s<>\"]+$",
        label="Where every code leads",
        max_length=200,
        required=False,
        help_text="Empty for the page of the piece itself.",
        error_messages={"invalid": "Write it as a browser shows it, like https://shop.example/care"},
    )

    def __init__(self, data=None, *, card: CardWords, shop: Workshop, **kwargs) -> None:
        initial = {name: getattr(card, name) for name in self.base_fields if hasattr(card, name)}
        initial["maker"] = card.maker or shop.name
        self.shop_name = shop.name
        # A row that is not there yet is made with the version every new one has.
        super().__init__(data, auto_id="words_%s", initial=initial, edit_version=card.edit_version, **kwargs)
        self.fields["address"].help_text = "Empty for the address on your quotes and invoices."
        self.fields["warnings"].help_text = "Where a law of the place you sell in asks for one, or you want one."

    def clean(self) -> dict:
        typed = super().clean()
        for name in ("maker", "address", "warnings", "words"):
            if claim := wording.claim_in(typed.get(name) or ""):
                self.add_error(name, wording.too_much(claim))
        return typed

    def facts(self) -> dict[str, str]:
        names = ("maker", "address", "warnings", "words", "link")
        told = {name: self.cleaned_data[name].replace("\r\n", "\n") for name in names}
        # The workshop's own name is asked for anew each time, for it may be called another.
        return {**told, "maker": "" if told["maker"] == self.shop_name else told["maker"]}


class PaperForm(ShopForm):
    """``kind`` of paper decides what it can be printed on."""

    sheet = forms.ChoiceField(label="Paper")
    first = CountFormField(
        label="Begin at",
        least=1,
        most=MOST_ACROSS * MOST_DOWN,
        help_text="Counted along the rows; 1 on a new sheet.",
    )
    coded = forms.BooleanField(label="With a code that a phone reads", required=False)
    address = forms.RegexField(
        r"^https?://[^\s/?#<>\"]+/?$",
        label="Address of this shop",
        max_length=120,
        help_text="As a phone reaches it; it stands in every code.",
        error_messages={"invalid": "Write it as a browser shows it, like https://shop.example"},
    )

    def __init__(self, data=None, *, kind: str, shop: Workshop, address: str, **kwargs) -> None:
        usual = _USUAL[Kind(kind)][shop.unit == "in"]
        super().__init__(
            data, auto_id="paper_%s", initial={"sheet": usual, "first": 1, "coded": True, "address": address}, **kwargs
        )
        self.kind = kind
        if kind == Kind.CARE:
            self.fields["sheet"].choices = [(key, card.words) for key, card in CARDS.items()]
            del self.fields["first"]
        else:
            papers = TAGS if kind == Kind.TAGS else LABELS
            self.fields["sheet"].choices = [(key, _says(key, paper)) for key, paper in papers.items()]

    def asked(self) -> Asked:
        typed = self.cleaned_data
        return Asked(self.kind, typed["sheet"], typed["address"], typed.get("first") or 1, typed["coded"])


def _says(key: str, paper) -> str:
    told = paper.says("in" if paper.sheet == "letter" else "mm")
    return f"one a page, {told.rpartition(' of ')[2]}" if key.startswith("one-") else told
