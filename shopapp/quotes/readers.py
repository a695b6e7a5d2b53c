"""What the pages and the paper of a quote show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, QuerySet, Subquery

from shopapp.common.documents import paper_state
from shopapp.common.tasks import TaskState
from shopapp.plans.preview.planning import printed, tones_of_record
from shopapp.plans.readers import RecordView

from .models import Quote, QuoteEvent, QuotePaper
from .planning import OfferSums, sums_of

A_PAGE = 50
_NOT_MADE = "The paper was not made. Ask for it again."
Kind = QuoteEvent.Kind
# What a buyer is told of a board's woods; dust, gluing and the rest are the maker's own concern.
FOR_THE_BUYER = ("allergen", "food")


def quotes_told() -> QuerySet[Quote]:
    """Every quote with how far it is, newest first."""
    newest = QuoteEvent.objects.filter(quote=OuterRef("pk")).order_by("-pk").values("kind")[:1]
    return Quote.objects.annotate(state=Subquery(newest)).defer("words", "terms", "care", "left_out")


@dataclass(frozen=True)
class QuoteLine:
    """A quote in the list."""

    quote: Quote
    sums: OfferSums
    state: str
    past: bool


def lines_of(quotes: list[Quote], today: date) -> list[QuoteLine]:
    return [
        QuoteLine(
            quote, sums_of(quote), Kind(quote.state).label, quote.state in ("made", "sent") and quote.is_past(today)
        )
        for quote in quotes
    ]


class OfferView:
    """A quote as its page and its paper show it: the maker's words, the sums, and the board of its plan's record."""

    def __init__(self, quote: Quote, unit: str) -> None:
        self.quote = quote
        self.sums = sums_of(quote)
        self.board = RecordView(quote.plan.record, quote.title, unit)

    @property
    def made_to(self) -> str:
        return self.board.made_to

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


def paper_of(quote: Quote) -> TaskState:
    """How far its paper is; a quote that has none was asked for one, so that is a failure too."""
    paper = QuotePaper.objects.filter(quote=quote).first()
    return TaskState("failed", _NOT_MADE) if paper is None else paper_state(paper, _NOT_MADE)


def quotes_told_wrongly() -> list[str]:
    """For `manage.py verify`: quotes without a beginning, or with more than one end."""
    told: dict[int, list[str]] = {pk: [] for pk in Quote.objects.values_list("pk", flat=True)}
    for quote, kind in QuoteEvent.objects.order_by("pk").values_list("quote_id", "kind"):
        told[quote].append(kind)
    faults = []
    for pk, kinds in told.items():
        if kinds[:1] != [Kind.MADE]:
            faults.append(f"Quote {pk} does not begin with its making.")
        if sum(kind in QuoteEvent.ENDS for kind in kinds) > 1:
            faults.append(f"Quote {pk} ends more than once.")
    return faults
