"""What answers, questions and letters hold of a person: their name, their words, and where letters went."""

from __future__ import annotations

import json
from typing import Any

from shopapp.common import links
from shopapp.common.erasing import strike_audit, struck
from shopapp.common.models import Letter
from shopapp.people.book import Happening, register
from shopapp.people.models import Person
from shopapp.plans.models import canonical
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent, QuoteWord

from .readers import subject_of

FORGOTTEN = "…"
EXPLAINS = {
    "answered": "Quotes they answered, oldest first.",
    "number": "The number of the quote.",
    "answer": "Accepted or declined.",
    "name": "The name it was answered with.",
    "on": "The day, as year-month-day.",
    "shown": "All that was shown to them when they answered.",
    "said": "What was asked and answered, with its day, and whether the shop wrote it.",
    "letters": "Letters that were sent to them, with the day they were asked for.",
    "to": "The address.",
    "words": "What the letter said first.",
}


def _quotes(person: Person) -> list[Quote]:
    return list(person.quotes.order_by("pk").select_related("answer").prefetch_related("said", "events"))


def _letters(quotes: list[Quote]) -> list[Letter]:
    return list(Letter.objects.filter(subject__in=map(subject_of, quotes)).exclude(to="").order_by("pk"))


def history(person: Person) -> list[Happening]:
    told = []
    for quote in _quotes(person):
        if (answer := getattr(quote, "answer", None)) is not None:
            told.append(Happening(answer.at, f"{quote} was {answer.get_kind_display()}.", quote.get_absolute_url()))
        told += [
            Happening(one.at, f"A question was asked about {quote}.", f"{quote.get_absolute_url()}#asked")
            for one in quote.said.all()
            if one.who_id is None
        ]
    return told


def out(person: Person) -> dict[str, Any]:
    quotes = _quotes(person)
    answers = [answer for quote in quotes if (answer := getattr(quote, "answer", None)) and _has_name(answer, person)]
    said = [
        [quote.reference, one.at.date().isoformat(), "the shop" if one.who_id else "they", one.words]
        for quote in quotes
        for one in quote.said.all()
        if one.words != FORGOTTEN
    ]
    held = {
        "answered": [
            {
                "number": answer.quote.reference,
                "answer": answer.get_kind_display(),
                "name": answer.name,
                "on": answer.on.isoformat(),
                "shown": json.loads(answer.shown),
            }
            for answer in answers
        ],
        "said": said,
        "letters": [
            {"to": one.to, "on": one.asked_at.date().isoformat(), "words": one.words} for one in _letters(quotes)
        ],
    }
    return {name: rows for name, rows in held.items() if rows}


def _has_name(answer: QuoteAnswer, person: Person) -> bool:
    return person.erased_at is None or answer.name != str(person)


def goes(person: Person) -> list[str]:
    quotes = _quotes(person)
    answers = sum(1 for quote in quotes if hasattr(quote, "answer") and _has_name(quote.answer, person))
    words = sum(one.words != FORGOTTEN for quote in quotes for one in quote.said.all())
    letters = len(_letters(quotes))
    counted = ((answers, "answer"), (words, "question or answer to one"), (letters, "letter"))
    told = [f"{count} × {what}" for count, what in counted if count]
    return [f"Their name and words in: {', '.join(told)}; links to their quotes open nothing any more."] if told else []


def forget(person: Person, instead: str) -> list[str]:
    told, quotes = goes(person), _quotes(person)
    letters = _letters(quotes)
    names = {person.name, *(quote.for_whom for quote in quotes), *(letter.to for letter in letters)}
    names |= {quote.answer.name for quote in quotes if hasattr(quote, "answer")}
    names -= {"", instead}
    for quote in quotes:
        if hasattr(quote, "answer"):
            QuoteAnswer.objects.filter(pk=quote.answer.pk).update(
                name=instead, shown=_without_words(quote.answer.shown, names, instead)
            )
        for event in quote.events.all():
            if (words := struck(event.words, names, instead)[:400]) != event.words:
                QuoteEvent.objects.filter(pk=event.pk).update(words=words)
        QuoteWord.objects.filter(quote=quote).exclude(words=FORGOTTEN).update(words=FORGOTTEN)
        for link in links.links_to(subject_of(quote)):
            links.revoke(who=None, link=link)
    Letter.objects.filter(pk__in=[letter.pk for letter in letters]).update(to="", words="")
    strike_audit(quotes, names, instead)
    return told


def _without_words(shown: str, names: set[str], instead: str) -> str:
    """What was shown, without the name wherever it stood and what was written to them; its hash stays as it was."""
    told = json.loads(shown)
    told = _struck(told, (names | {told["for_whom"]}) - {"", instead}, instead)
    return canonical(told | {"for_whom": instead, "words": ""})


def _struck(value: Any, names: set[str], instead: str) -> Any:
    """The same of every text within ``value``."""
    if isinstance(value, dict):
        return {key: _struck(one, names, instead) for key, one in value.items()}
    if isinstance(value, list):
        return [_struck(one, names, instead) for one in value]
    return struck(value, names, instead) if isinstance(value, str) else value


def keeps(person: Person) -> str:
    """Sums stay with the quote; a name and words need not."""
    return ""


def take_part() -> None:
    register("answers", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
