"""What a link opens, and what the maker sees of links, letters and questions."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from django.db.models import Max
from django.utils import timezone

from shopapp.common import links
from shopapp.common.models import Letter, PrivateLink
from shopapp.common.numbers import whole_number
from shopapp.common.tasks import task_states
from shopapp.people.models import Way
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent, QuoteOption, QuoteWord
from shopapp.quotes.readers import shown_to_customer

Kind = QuoteEvent.Kind
OPEN = (Kind.MADE, Kind.SENT)
# What is not open and was not answered is told nobody by its link.
OPENS = (*OPEN, Kind.ACCEPTED, Kind.DECLINED)
_ROOT = "quote "
MOST_SHOWN = 40
HALF_WAY = "It ended half-way; whether it went out is not known. Ask them, or send it once more."


def subject_of(quote: Quote) -> str:
    return f"{_ROOT}{quote.pk}"


@dataclass(frozen=True)
class Opened:
    """A quote as its link opens it: ``state`` is how far it is, told by ``event``."""

    link: PrivateLink
    quote: Quote
    event: QuoteEvent

    @property
    def state(self) -> str:
        return self.event.kind

    @property
    def is_open(self) -> bool:
        return self.state in OPEN

    @cached_property
    def answer(self) -> QuoteAnswer | None:
        """One query."""
        return QuoteAnswer.objects.select_related("option__plan").filter(quote=self.quote).first()

    @cached_property
    def shown(self) -> dict:
        """All that the page says of the quote: as it was when it was answered, once it was."""
        kept = self.answer.shown if not self.is_open and self.answer else ""
        return json.loads(kept) if kept else shown_to_customer(self.quote)

    def options(self) -> list[QuoteOption]:
        """With their plans. One query."""
        return list(self.quote.options.select_related("plan"))


def opened(token: str) -> Opened | None:
    """What the link of that token opens. Three queries whatever the token is, so that neither the answer nor its time
    tells an unknown link from one that expired, was revoked, or whose quote came to nothing."""
    link = links.find(token)
    quote = Quote.objects.select_related("replaces").filter(pk=_number(link)).first()
    event = QuoteEvent.objects.filter(quote=quote.pk if quote else 0).order_by("-pk").first()
    if link is None or quote is None or event is None or event.kind not in OPENS:
        return None
    if event.kind in OPEN and quote.is_past(timezone.localdate()):
        return None
    return Opened(link, quote, event)


def _number(link: PrivateLink | None) -> int:
    """Of the quote a link leads to; nought, which no quote has, where it leads to none."""
    number = link.subject.removeprefix(_ROOT) if link is not None and link.subject.startswith(_ROOT) else ""
    return whole_number(number) or 0


def state_of(quote: Quote) -> str:
    """How far it is. One query."""
    return quote.events.order_by("-pk").values_list("kind", flat=True).first() or Kind.MADE


def answer_to(quote: Quote) -> QuoteAnswer | None:
    """One query."""
    return QuoteAnswer.objects.select_related("option", "who").filter(quote=quote).first()


def said_about(quote: Quote) -> list[QuoteWord]:
    """Questions and answers in their order. One query."""
    return list(quote.said.select_related("who").order_by("pk"))


def waits_for_an_answer(said: Sequence[QuoteWord]) -> bool:
    """Whether the last word is the customer's."""
    return bool(said) and said[-1].who_id is None


@dataclass(frozen=True)
class LetterTold:
    """A letter in the list: "waiting", "sent" or "failed", and in words why."""

    letter: Letter
    word: str
    words: str = ""

    @property
    def is_offer(self) -> bool:
        return self.letter.about == "offer"


@dataclass(frozen=True)
class Letters:
    told: list[LetterTold]

    @property
    def wait(self) -> bool:
        return any(one.word == "waiting" for one in self.told)


def letters_about(quote: Quote) -> Letters:
    """Newest first. Two queries at most."""
    letters = list(Letter.objects.filter(subject=subject_of(quote)).select_related("asked_by")[:MOST_SHOWN])
    on_the_way = [one for one in letters if one.sent_at is None and not one.failed]
    states = dict(
        zip((one.pk for one in on_the_way), task_states([one.task for one in on_the_way]), strict=True)
        if on_the_way
        else ()
    )
    return Letters([_told(one, states.get(one.pk)) for one in letters])


def _told(letter: Letter, state) -> LetterTold:
    if letter.sent_at is not None:
        return LetterTold(letter, "sent")
    if letter.failed:
        return LetterTold(letter, "failed", letter.failed)
    if state.word in ("waiting", "working"):
        return LetterTold(letter, "waiting")
    return LetterTold(letter, "failed", HALF_WAY if letter.begun_at else state.message or HALF_WAY)


@dataclass(frozen=True)
class LinkTold:
    """A link in the list, without its token, which nobody has but whoever was given it."""

    link: PrivateLink
    opens: bool

    @property
    def last_day(self) -> date:
        """The last day on which it opens, or opened."""
        return links.last_day(self.link)


def links_of(quote: Quote) -> list[LinkTold]:
    """Newest first. One query."""
    now = timezone.now()
    return [LinkTold(link, links.opens(link, now)) for link in links.links_to(subject_of(quote))[:MOST_SHOWN]]


def address_known(quote: Quote) -> str:
    """The address a letter went to last, else the person's first. Two queries at most."""
    last = Letter.objects.filter(subject=subject_of(quote)).exclude(to="").values_list("to", flat=True).first()
    if last or quote.person_id is None:
        return last or ""
    ways = Way.objects.filter(person=quote.person_id, kind=Way.Kind.MAIL)
    return ways.values_list("words", flat=True).first() or ""


def answers_told_wrongly() -> list[str]:
    """For `manage.py verify`: answers that their quote's events do not tell, or that are not what was shown. Where
    somebody was erased since, the words are gone and the hash stays."""
    ends = set(QuoteEvent.objects.filter(kind__in=QuoteEvent.ENDS).values_list("quote", "kind"))
    faults = []
    for answer in QuoteAnswer.objects.select_related("quote__person").iterator(chunk_size=200):
        if (answer.quote_id, answer.kind) not in ends:
            faults.append(f"{answer.quote} was {answer.kind} by an answer its events do not tell.")
        person = answer.quote.person
        erased = person is not None and person.erased_at is not None
        if not erased and hashlib.sha256(answer.shown.encode()).hexdigest() != answer.shown_sha256:
            faults.append(f"What was shown when {answer.quote} was answered is not what was kept.")
    return faults


@dataclass(frozen=True)
class Waiting:
    """A quote whose customer waits for an answer of the shop's."""

    quote: Quote
    words: str
    at: datetime


def questions_waiting(most: int = 10) -> list[Waiting]:
    """Open quotes whose last word is the customer's, the oldest question first. One query."""
    ended = QuoteEvent.objects.filter(kind__in=QuoteEvent.ENDS).exclude(kind=Kind.ACCEPTED).values("quote")
    newest = QuoteWord.objects.values("quote").annotate(newest=Max("pk")).values("newest")
    words = QuoteWord.objects.filter(pk__in=newest, who=None).exclude(quote__in=ended)
    return [Waiting(one.quote, one.words, one.at) for one in words.select_related("quote").order_by("pk")[:most]]


def accepted_lately(since: datetime, most: int = 5) -> list[QuoteAnswer]:
    """Answers by link since then that said yes, newest first. One query."""
    found = QuoteAnswer.objects.filter(kind=QuoteAnswer.Kind.ACCEPTED, at__gte=since).exclude(link=None)
    return list(found.select_related("quote", "option").order_by("-pk")[:most])


def chosen_in(shown: Mapping, place: int) -> dict:
    """The option of that place as it was shown."""
    return next(one for one in shown["options"] if one["place"] == place)
