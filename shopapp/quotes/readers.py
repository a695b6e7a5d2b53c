"""What the pages and the paper of a quote show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property

from django.db.models import OuterRef, QuerySet, Subquery
from django.urls import reverse

from shopapp.common.documents import paper_state
from shopapp.common.tasks import TaskState
from shopapp.plans.preview.planning import printed, tones_of_record
from shopapp.plans.preview.readers import Grain, grain_at
from shopapp.plans.readers import RecordView
from shopapp.workshop.models import Workshop

from . import planning, wording
from .figures import figures_of
from .models import Quote, QuoteEvent, QuoteOption, QuotePaper, QuoteWord

A_PAGE = 50
_NOT_MADE = "The paper was not made. Ask for it again."
Kind = QuoteEvent.Kind
# What a buyer is told of a board's woods; dust, gluing and the rest are the maker's own concern.
FOR_THE_BUYER = ("allergen", "food")
_MONEY = ("each", "boards_come_to", "carriage", "net", "tax", "gross", "deposit", "rest")


def quotes_told() -> QuerySet[Quote]:
    """Every quote with how far it is, its options, its answer and whose the last word about it was, newest first."""
    newest = QuoteEvent.objects.filter(quote=OuterRef("pk")).order_by("-pk").values("kind")[:1]
    said = QuoteWord.objects.filter(quote=OuterRef("pk")).order_by("-pk")
    last = {"said_last": Subquery(said.values("pk")[:1]), "said_last_by": Subquery(said.values("who")[:1])}
    rows = Quote.objects.annotate(state=Subquery(newest), **last).prefetch_related("options").select_related("answer")
    return rows.defer("words", "terms", "care", "left_out", "called_off", "answer__shown")


@dataclass(frozen=True)
class QuoteLine:
    """A quote in the list; ``gross`` is what each option comes to."""

    quote: Quote
    gross: list[Decimal]
    state: str
    past: bool

    @property
    def asked(self) -> bool:
        """Whether a question waits for the shop's answer."""
        ended = self.quote.state in ("declined", "lapsed", "replaced", "withdrawn")
        return self.quote.said_last is not None and self.quote.said_last_by is None and not ended


def lines_of(quotes: list[Quote], today: date) -> list[QuoteLine]:
    return [
        QuoteLine(
            quote,
            [OptionSums(quote, option).gross for option in quote.options.all()],
            Kind(quote.state).label,
            quote.state in ("made", "sent") and quote.is_past(today),
        )
        for quote in quotes
    ]


class OptionSums:
    """What an option comes to, worked out of what was written."""

    def __init__(self, quote: Quote, option: QuoteOption) -> None:
        self.gross = planning.sums_for(
            option.price,
            option.boards,
            carriage=quote.carriage,
            tax=quote.tax,
            tax_included=quote.tax_included,
            deposit=quote.deposit,
            exponent=quote.currency_exponent,
        ).gross


class OptionView:
    """One option as page, paper and link show it: its proof, its board, its woods, and what it comes to."""

    def __init__(self, quote: Quote, option: QuoteOption, unit: str, figures: Mapping) -> None:
        self.quote, self.option, self.unit, self.figures = quote, option, unit, figures

    @property
    def proof(self) -> str:
        """What is accepted by this number: "2026-004/1"; of a quote not made yet its place alone."""
        if self.quote.number is None:
            return str(self.option.place)
        return f"{self.quote.reference}/{self.option.place}"

    @property
    def label(self) -> str:
        return self.option.label

    @property
    def boards(self) -> int:
        return self.option.boards

    @cached_property
    def board(self) -> RecordView:
        return RecordView(self.option.plan.record, self.option.label, self.unit)

    @property
    def sums(self) -> dict[str, Decimal]:
        """``each`` board, what all ``boards_come_to``, ``carriage``, ``net``, ``tax``, ``gross``, ``deposit`` and the
        ``rest``."""
        return {name: Decimal(self.figures[name]) for name in _MONEY}

    @property
    def inside(self) -> list[tuple[str, Decimal]]:
        """What the price of the boards is made up of; empty unless it was chosen to be shown."""
        return [(words, Decimal(amount)) for words, amount in self.figures["inside"]]

    @property
    def made_to(self) -> str:
        return self.board.made_to

    @property
    def size(self) -> dict[str, str]:
        """How wide, high and thick one finished board is, as exact text in millimetres."""
        wide, high = self.board.hanging_size
        thick = self.board.record["finished"][2]
        return {"wide": str(wide.mm), "high": str(high.mm), "thick": str(thick)}

    @cached_property
    def woods(self) -> list[dict[str, str]]:
        """``name``, ``scientific`` name and ``plank`` of each wood."""
        return [
            {
                "name": line.record["name"],
                "scientific": planning.scientific_name(line.record["wood"]),
                "plank": line.plank,
            }
            for line in self.board.woods_on_paper()
        ]

    @property
    def grain(self) -> Grain:
        """Where the owner's pages find its picture."""
        return grain_at(reverse("plans:preview_png", args=[self.option.plan_id]))

    @property
    def closer(self) -> str:
        return reverse("plans:preview", args=[self.option.plan_id])

    def picture(self) -> bytes:
        """The board in real grain, as a JPEG to be printed. One query."""
        return printed(self.board.record, tones_of_record(self.board.record))

    @property
    def is_tall(self) -> bool:
        """Whether the board leaves room beside it on the paper."""
        wide, high = self.board.hanging_size
        return high * 5 >= wide * 4

    def cautions(self) -> list[dict]:
        """Every caution of the record that concerns whoever will own the board, with the woods it belongs to."""
        return [one for one in self.board.wood.cautions() if one["kind"] in FOR_THE_BUYER]


class QuoteView:
    """A quote as page, paper and link show it. One query for the options with their plans, unless they are given."""

    def __init__(self, quote: Quote, shop: Workshop, options: Sequence[QuoteOption] | None = None) -> None:
        self.quote = quote
        options = list(quote.options.select_related("plan")) if options is None else options
        self.figures = figures_of(quote, shop)
        by_place = {figures["place"]: figures for figures in self.figures["options"]}
        self.unit: str = self.figures["unit"]
        self.options = [OptionView(quote, one, self.unit, by_place[one.place]) for one in options]

    @property
    def shop(self) -> Mapping[str, str]:
        """The letterhead: name, address, mail, phone, tax_number."""
        return self.figures["shop"]

    @property
    def varies(self) -> str:
        return self.figures["varies"]

    @property
    def bought(self) -> str:
        return self.figures["bought"]

    @property
    def late(self) -> str:
        """In words where it cannot be there when it was wanted."""
        return wording.later_than_wanted(self.quote.there_by, self.quote.wanted_by)

    def cautions(self) -> list[dict]:
        """Those of all its boards, each sentence once with every wood it belongs to."""
        told: dict[str, dict] = {}
        for option in self.options:
            for one in option.cautions():
                found = told.setdefault(one["words"], {**one, "woods": []})
                found["woods"] += [wood for wood in one["woods"] if wood not in found["woods"]]
        return list(told.values())

    @property
    def accepted_by(self) -> date | None:
        """The day it has to be accepted by for the day it is there by to stand."""
        said = self.figures["accepted_by"]
        return date.fromisoformat(said) if said else None


def shown_to_customer(quote: Quote, shop: Workshop | None = None) -> dict:
    """Everything the customer is told, JSON-safe: what paper, page and answer say. Amounts are text with the
    currency's decimals, days ISO text, sizes exact millimetres as text."""
    from shopapp.workshop.readers import the_workshop

    view = QuoteView(quote, shop or the_workshop())
    figures = view.figures
    plain = ("for_whom", "title", "words", "care", "left_out", "terms", "called_off", "whose_picture")
    days = ("dated", "valid_until", "wanted_by", "there_by")
    return {
        "form": figures["form"],
        "reference": quote.reference,
        "replaces": quote.replaces.reference if quote.replaces_id else "",
        "shop": dict(view.shop),
        **{name: getattr(quote, name) for name in plain},
        **{name: day.isoformat() if (day := getattr(quote, name)) else "" for name in days},
        "late": view.late,
        "accepted_by": figures["accepted_by"],
        "unit": view.unit,
        "currency": figures["currency"],
        "tax": figures["tax"],
        "tax_included": figures["tax_included"],
        "deposit": figures["deposit"],
        "varies": view.varies,
        "bought": view.bought,
        "options": [_option_shown(option) for option in view.options],
    }


def _option_shown(option: OptionView) -> dict:
    return {
        **option.figures,
        "proof": option.proof,
        "label": option.label,
        "made_to": option.made_to,
        "size": option.size,
        "woods": [{"name": wood["name"], "scientific": wood["scientific"]} for wood in option.woods],
        "cautions": [
            {"woods": list(one["woods"]), "words": one["words"], "source": one["source"]} for one in option.cautions()
        ],
    }


def paper_of(quote: Quote) -> TaskState:
    """How far its paper is; a quote that has none was asked for one, so that is a failure too."""
    paper = QuotePaper.objects.filter(quote=quote).select_related("document").first()
    if paper is not None and paper.document is not None and not paper.document.title:
        # An erasure leaves of a paper its hash and its day.
        return TaskState("gone")
    return TaskState("failed", _NOT_MADE) if paper is None else paper_state(paper, _NOT_MADE)
