"""What quotes and drafts hold of a person: the name they were made for, the words to them, and the papers."""

from __future__ import annotations

from typing import Any

from shopapp.common.erasing import strike_audit, struck, take_away
from shopapp.common.templatetags.shop import money
from shopapp.people import loose
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

from .figures import figures_of
from .models import DraftOption, Quote, QuoteDraft, QuoteOption

EXPLAINS = {
    "quotes": "Quotes that were made for them, oldest first.",
    "number": "The number of the quote.",
    "for_whom": "The name it was made for.",
    "title": "What it is called.",
    "dated": "The day on the paper, as year-month-day.",
    "words": "What was written to them in it.",
    "comes_to": "What each of its boards comes to, with the sign of the currency.",
    "paper_sha256": "The SHA-256 of the paper’s file.",
    "drafts": "Quotes that are being written for them, or were and became none.",
}
# What a maker types and a name may stand in.
TYPED = ("title", "care", "left_out", "terms", "called_off", "whose_picture")


def _quotes(person: Person) -> list[Quote]:
    rows = person.quotes.select_related("paper__document").prefetch_related("options__plan")
    return [one for one in rows.order_by("pk") if not _is_forgotten(one, person)]


def _drafts(person: Person) -> list[QuoteDraft]:
    rows = person.quote_drafts.filter(made=None).prefetch_related("options")
    return [one for one in rows.order_by("pk") if not _is_forgotten(one, person)]


def _is_forgotten(one: Quote | QuoteDraft, person: Person) -> bool:
    """Whether the name left it before; nothing of theirs is written in it then."""
    return person.erased_at is not None and one.for_whom in ("", str(person))


def _gross(quote: Quote) -> list[str]:
    return [money(one["gross"], quote) for one in figures_of(quote)["options"]]


def history(person: Person) -> list[Happening]:
    told = [
        Happening(one.made_at, f"{one} was made: {one.title}, {' or '.join(_gross(one))}.", one.get_absolute_url())
        for one in _quotes(person)
    ]
    told += [
        Happening(one.created_at, f"A quote was begun: {one.title}.", one.get_absolute_url()) for one in _drafts(person)
    ]
    return told


def out(person: Person) -> dict[str, Any]:
    quotes = [
        {
            "number": one.reference,
            "for_whom": one.for_whom,
            "title": one.title,
            "dated": one.dated.isoformat(),
            "words": one.words,
            "comes_to": _gross(one),
            "paper_sha256": document.sha256 if (document := _document(one)) else "",
        }
        for one in _quotes(person)
    ]
    drafts = [{"for_whom": one.for_whom, "title": one.title, "words": one.words} for one in _drafts(person)]
    return {name: rows for name, rows in (("quotes", quotes), ("drafts", drafts)) if rows}


def _document(quote: Quote):
    paper = getattr(quote, "paper", None)
    return paper.document if paper else None


def goes(person: Person) -> list[str]:
    counted = ((len(_quotes(person)), "quote"), (len(_drafts(person)), "quote being written"))
    told = [f"{count} × {what}" for count, what in counted if count]
    return [f"Their name and the words to them in: {', '.join(told)}; the papers of quotes."] if told else []


def forget(person: Person, instead: str) -> list[str]:
    told, quotes, drafts = goes(person), _quotes(person), _drafts(person)
    names = {person.name, *(one.for_whom for one in (*quotes, *drafts))} - {"", instead}
    for quote in quotes:
        _strike(quote, names, instead)
        for option in quote.options.all():
            if (label := struck(option.label, names, instead)[:80]) != option.label:
                QuoteOption.objects.filter(pk=option.pk).update(label=label)
    for draft in person.quote_drafts.all():
        _strike(draft, names, instead)
        for option in draft.options.all():
            DraftOption.objects.filter(pk=option.pk).update(label=struck(option.label, names, instead)[:80])
    take_away([document for one in quotes if (document := _document(one))])
    strike_audit([*quotes, *person.quote_drafts.all()], names, instead)
    return told


def _strike(one: Quote | QuoteDraft, names: set[str], instead: str) -> None:
    typed = [name for name in TYPED if hasattr(one, name)]
    longest = {name: one._meta.get_field(name).max_length for name in typed}
    said = {name: struck(getattr(one, name), names, instead)[: longest[name]] for name in typed}
    type(one)._base_manager.filter(pk=one.pk).update(for_whom=instead if one.for_whom else "", words="", **said)


def keeps(person: Person) -> str:
    """Sums stay with the quote; a name and words need not. What became money is the ledger's to keep."""
    return ""


def take_part() -> None:
    register("quotes", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
    loose.register("quote", Quote, "for_whom", _told)


def _told(one: Quote) -> Happening:
    return Happening(one.made_at, f"{one}: {one.title}", one.get_absolute_url())
