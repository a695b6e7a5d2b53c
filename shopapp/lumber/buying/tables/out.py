"""A delivery as a table: a line each, in words and units that come in again as the same delivery."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from planner.measures import Length, decimals
from shopapp.common.fields import plain_number
from shopapp.common.tables import table
from shopapp.lumber.buying.readers import entry_of
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import Delivery, Lot


def columns(currency: str) -> list[str]:
    """The heads; what begins with “line”, and board feet, are for the eye and reckoned anew when they come in."""
    return [
        "bought from", "bought on", "ticket", "counted", "thin as inch", "tax %", "tax in price",
        f"carriage {currency}", "note", "line", "wood", "grade", "thickness mm", "measured mm", "width mm", "length mm",
        "boards", "surfaced", "cut", "sapwood", "shade", "moisture %", "read on", "fit on", "place",
        f"price {currency}", "per", "mass kg", "paid bf", "there bf", f"line goods {currency}", f"line tax {currency}",
        f"line carriage {currency}", f"line cost {currency}",
    ]  # fmt: skip


def as_csv(delivery: Delivery, seen: dict[str, WoodSeen], *, currency: str) -> bytes:
    """Every field of a delivery. Three queries."""
    places = _places(delivery)
    rows = [(*_of_delivery(delivery), *_of_lot(lot, seen, places.get(lot.pk, ""))) for lot in delivery.lots.all()]
    return table(columns(currency), rows)


def _places(delivery: Delivery) -> dict[int, str]:
    """Where the boards of each lot were laid when they came."""
    moves = entry_of(delivery).moves.filter(piece__lot__delivery=delivery).order_by("-pk")
    return {lot: str(after["place"]) for lot, after in moves.values_list("piece__lot_id", "after")}


def _of_delivery(delivery: Delivery) -> list[str]:
    return [
        delivery.supplier.name, delivery.on.isoformat(), delivery.reference, delivery.rule, _yes(delivery.thin_as_inch),
        plain_number(delivery.tax * 100), _yes(delivery.tax_included), _plain(delivery.carriage), delivery.note,
    ]  # fmt: skip


def _of_lot(lot: Lot, seen: dict[str, WoodSeen], place: str) -> list[str]:
    return [
        str(lot.number), seen[lot.wood].name, lot.grade, _mm(lot.nominal_thickness), _mm(lot.thickness), _mm(lot.width),
        _mm(lot.length), str(lot.count), _yes(lot.surfaced), lot.cut, _yes(lot.sapwood), lot.shade,
        "" if lot.moisture is None else _plain(lot.moisture), _day(lot.moisture_on), _day(lot.fit_on), place,
        _plain(lot.price), lot.per, "" if lot.mass_kg is None else _plain(lot.mass_kg),
        plain_number(Fraction(lot.paid_bf)), plain_number(Fraction(lot.there_bf)),
        *map(_plain, (lot.goods, lot.tax, lot.carriage, lot.cost)),
    ]  # fmt: skip


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _day(value) -> str:
    return value.isoformat() if value else ""


def _mm(length: Length) -> str:
    return decimals(length.mm, 6)


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"
