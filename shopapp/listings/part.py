"""What finished pieces have in the book of a person: those they bought, were given or were sent, and the shops that are
theirs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import models
from django.db.models import QuerySet
from django.urls import reverse

from shopapp.common.erasing import strike_audit, struck
from shopapp.people import loose
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

from .models import Channel, Expense, Listing, ListingEvent, Parcel, ParcelEvent, Piece, PieceEvent, Sale, SaleChange

EXPLAINS = {
    "pieces": "Finished pieces that went to them: what became of each (sold, given or held for them), on which day, "
    "what was got for it and in which currency, and the sentence that was written then.",
    "went": "Where pieces went with their name: the day, the name and the sentence that was written.",
    "sales": "What they bought: the piece, the day, the price, carriage and tax in it, how it was paid, and what was "
    "given back since.",
    "parcels": "What was sent to them: carrier, number, what it was insured for, and how far it came.",
    "channels": "Shops of theirs that sell pieces: the name, and what is kept of a sale.",
}


def _theirs(rows: QuerySet, person: Person) -> QuerySet:
    """What still says so; where they were forgotten another name stands."""
    rows = rows.filter(person=person).order_by("pk")
    return rows if person.erased_at is None else rows.exclude(to_whom=str(person))


def _named(person: Person) -> QuerySet[ListingEvent]:
    return _theirs(ListingEvent.objects.select_related("listing"), person)


def _went(person: Person) -> QuerySet[PieceEvent]:
    return _theirs(PieceEvent.objects.select_related("piece"), person)


def _sales(person: Person) -> QuerySet[Sale]:
    return _theirs(Sale.objects.select_related("piece").prefetch_related("changes"), person)


def _parcels(person: Person) -> QuerySet[Parcel]:
    """Of those that were forgotten the number is gone; nothing else in a parcel tells of anybody."""
    rows = Parcel.objects.filter(person=person).select_related("piece").prefetch_related("events").order_by("pk")
    return rows if person.erased_at is None else rows.exclude(number="")


def _channels(person: Person) -> QuerySet[Channel]:
    rows = Channel.objects.filter(person=person).order_by("pk")
    return rows if person.erased_at is None else rows.exclude(name__startswith=str(person))


def history(person: Person) -> list[Happening]:
    listed = list(_named(person))
    told = [Happening(one.at, one.words, one.listing.get_absolute_url()) for one in listed]
    # A listed piece tells the same in both stories.
    said = {(one.on, one.words) for one in listed}
    told += [
        Happening(one.at, one.words, one.piece.get_absolute_url())
        for one in _went(person)
        if (one.on, one.words) not in said
    ]
    for parcel in _parcels(person):
        told += [Happening(one.at, one.words, parcel.get_absolute_url()) for one in parcel.events.all()]
    return told


def out(person: Person) -> dict[str, Any]:
    held = {
        "pieces": [
            {
                "title": one.listing.title,
                "became": one.state,
                "on": one.on.isoformat(),
                "to_whom": one.to_whom,
                "got": None if one.got is None else str(one.got),
                "currency": one.listing.currency_symbol,
                "words": one.words,
            }
            for one in _named(person)
        ],
        "went": [
            {"piece": str(one.piece), "on": one.on.isoformat(), "to_whom": one.to_whom, "words": one.words}
            for one in _went(person)
        ],
        "sales": [_sale_out(one) for one in _sales(person)],
        "parcels": [
            {
                "piece": str(one.piece),
                "carrier": one.carrier,
                "number": one.number,
                "cover": None if one.cover is None else str(one.cover),
                "story": [[event.on.isoformat(), event.words] for event in reversed(one.events.all())],
            }
            for one in _parcels(person)
        ],
        "channels": [{"name": one.name, "share": str(one.percent)} for one in _channels(person)],
    }
    return {key: rows for key, rows in held.items() if rows}


def _sale_out(sale: Sale) -> dict[str, Any]:
    return {
        "piece": str(sale.piece),
        "on": sale.on.isoformat(),
        "to_whom": sale.to_whom,
        "price": str(sale.price),
        "carriage": str(sale.carriage),
        "tax": str(sale.tax_sum),
        "currency": sale.currency_symbol,
        "how": sale.get_how_display(),
        "words": sale.words,
        "since": [[one.on.isoformat(), one.get_kind_display(), str(one.back), one.words] for one in sale.changes.all()],
    }


def goes(person: Person) -> list[str]:
    count = len(_pieces_of(person))
    told = [f"Their name on {count} piece{'' if count == 1 else 's'} they bought or were given."] if count else []
    if parcels := _parcels(person).count():
        told.append(f"The number{'' if parcels == 1 else 's'} of {parcels} parcel{'' if parcels == 1 else 's'}.")
    if channels := _channels(person).count():
        told.append(f"Their name on {channels} way{'' if channels == 1 else 's'} of selling.")
    return told


def _pieces_of(person: Person) -> set[int]:
    return {
        *_named(person).values_list("listing__piece", flat=True),
        *_went(person).values_list("piece", flat=True),
        *_sales(person).values_list("piece", flat=True),
    }


def forget(person: Person, instead: str) -> list[str]:
    told = goes(person)
    pieces = _pieces_of(person) | set(_parcels(person).values_list("piece", flat=True))
    rows = [*_named(person), *_went(person), *_sales(person)]
    names = {person.name, *(one.to_whom for one in rows)}
    for one in rows:
        type(one).objects.filter(pk=one.pk).update(to_whom=instead)
    # What came after tells the name too: "The sale to … fell through".
    for model, path in _TELLING:
        _strike(model, path, pieces, names, instead)
    _strike(Expense, "piece__in", pieces, names, instead, field="why")
    for model in (ListingEvent, PieceEvent):
        path = "listing__piece__in" if model is ListingEvent else "piece__in"
        _strike(model, path, pieces, names, instead, field="plain_words")
    _parcels(person).update(number="")
    for channel in _channels(person):
        # Several shops of one person are told apart.
        Channel.objects.filter(pk=channel.pk).update(name=f"{instead} ({channel.pk})"[:60])
        names.add(channel.name)
    listings = Listing.objects.filter(piece__in=pieces)
    parcels = Parcel.objects.filter(piece__in=pieces)
    about = [*Piece.objects.filter(pk__in=pieces), *listings, *parcels, *Channel.objects.filter(person=person)]
    strike_audit(about, names, instead)
    return told


_TELLING: tuple[tuple[type[models.Model], str], ...] = (
    (ListingEvent, "listing__piece__in"),
    (PieceEvent, "piece__in"),
    (Sale, "piece__in"),
    (SaleChange, "sale__piece__in"),
    (Expense, "piece__in"),
    (ParcelEvent, "parcel__piece__in"),
)


def _strike(
    model: type[models.Model], path: str, pieces: Iterable[int], names: set[str], instead: str, field: str = "words"
) -> None:
    for pk, words in model.objects.filter(**{path: pieces}).order_by("pk").values_list("pk", field):
        now = struck(words, names, instead)[: model._meta.get_field(field).max_length]
        if now != words:
            model.objects.filter(pk=pk).update(**{field: now})


def keeps(person: Person) -> str:
    return ""


def take_part() -> None:
    register("listings", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
    loose.register("piece", ListingEvent, "to_whom", _told)
    loose.register("whereabouts", PieceEvent, "to_whom", _piece_told)
    loose.register("sold", Sale, "to_whom", _sale_told)


def _told(one: ListingEvent) -> Happening:
    return Happening(one.at, one.words, reverse("listings:listing", args=[one.listing_id]))


def _piece_told(one: PieceEvent) -> Happening:
    return Happening(one.at, one.words, reverse("listings:piece", args=[one.piece_id]))


def _sale_told(one: Sale) -> Happening:
    return Happening(
        one.at, f"{one.piece} was sold on {one.on:%Y-%m-%d}.", reverse("listings:piece", args=[one.piece_id])
    )
