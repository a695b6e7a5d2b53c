"""Lines of a table brought together into deliveries by whom and when they were bought, and reckoned."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from shopapp.lumber.models import Supplier
from shopapp.lumber.stock.buying import DeliveryFacts, ReckonedLine, Terms, reckon_delivery
from shopapp.lumber.stock.marks import taken_marks

from .reading import MOST_FAULTS, OF_DELIVERY, Fault, Row, TableRead

_TERMS = ("rule", "thin_as_inch", "tax", "tax_included")
_FIRST_LINE = re.compile(r"\bline 1\b", re.IGNORECASE)


@dataclass(frozen=True)
class Given:
    """What stands beside the table and holds for every line that does not say otherwise."""

    supplier: Supplier | None
    on: date
    reference: str = ""
    carriage: Decimal = Decimal(0)
    note: str = ""


@dataclass(frozen=True)
class Bundle:
    """One delivery of the table. ``reckoned`` is empty where it could not be reckoned; a supplier without a number is
    not in the book yet."""

    facts: DeliveryFacts
    rows: tuple[Row, ...]
    reckoned: tuple[ReckonedLine, ...] = ()

    @property
    def is_new_supplier(self) -> bool:
        return self.facts.supplier.pk is None


@dataclass(frozen=True)
class Sellers:
    """Suppliers of the book by their name in small letters, and what is known of one who is not there."""

    known: Mapping[str, Supplier]
    tax: Fraction
    made: dict[str, Supplier] = field(default_factory=dict)

    def of(self, name: str) -> Supplier:
        plain = name.casefold()
        if plain in self.known:
            return self.known[plain]
        return self.made.setdefault(plain, Supplier(name=name, tax=self.tax, tax_included=True))


def bundles_of(read: TableRead, given: Given, sellers: Sellers) -> list[Bundle]:
    """The table's deliveries in the order of their first lines, reckoned; what cannot be goes to ``read.faults``."""
    groups: dict[tuple[str, date, str], list[Row]] = {}
    for row in read.rows:
        if not row.supplier and given.supplier is None:
            words = (
                "Nobody is named whom this was bought from. Choose somebody beside the table, or name them in a column."
            )
            read.faults.append(Fault(row.line, "", words))
            return []
        name = row.supplier or given.supplier.name
        groups.setdefault((name.casefold(), row.on or given.on, row.reference or given.reference), []).append(row)
    if len(groups) > 1 and given.carriage:
        words = f"Carriage is of one delivery, and these are {len(groups)}. Give it in a column of the table."
        read.faults.append(Fault(0, "", words))
    _marks_of_others(read)
    bundles = [_bundle(on, reference, rows, given, sellers, read) for (_, on, reference), rows in groups.items()]
    return bundles if read.faults else [_reckoned(bundle, read) for bundle in bundles]


def _bundle(on: date, reference: str, rows: list[Row], given: Given, sellers: Sellers, read: TableRead) -> Bundle:
    supplier = sellers.of(rows[0].supplier) if rows[0].supplier else given.supplier
    said = {name: _one_of(rows, name, read) for name in OF_DELIVERY}
    terms = Terms.of(supplier)
    if read.opening:
        # What a piece is worth holds carriage and tax already.
        terms = Terms()
    elif any(said[name] is not None for name in _TERMS):
        terms = replace(terms, **{name: said[name] for name in _TERMS if said[name] is not None})
        if supplier.pk is None:
            for name in _TERMS:
                setattr(supplier, name, getattr(terms, name))
    carriage = given.carriage if said["carriage"] is None else said["carriage"]
    if read.opening and carriage:
        read.faults.append(Fault(rows[0].line, "", "What pieces are worth holds carriage already. Leave carriage out."))
    note = given.note if said["note"] is None else said["note"]
    return Bundle(DeliveryFacts(supplier, on, reference, carriage, str(note), terms), tuple(rows))


def _one_of(rows: Iterable[Row], name: str, read: TableRead) -> object:
    """What the lines of one delivery say of it; they must not differ."""
    found = None
    for row in rows:
        value = row.said.get(name)
        if found is None:
            found = value
        elif value is not None and value != found:
            words = "It is another than in a line above, and both are of one delivery. Make them the same."
            read.faults.append(Fault(row.line, name.replace("_", " "), words))
            break
    return found


def _marks_of_others(read: TableRead) -> None:
    lines = {row.bought.mark: row.line for row in read.rows if row.bought.mark}
    for mark in sorted(taken_marks(lines), key=lambda mark: lines[mark])[:MOST_FAULTS]:
        words = f"{mark} is the mark of a piece in the book. Leave it empty to be given the next free one."
        read.faults.append(Fault(lines[mark], "mark", words))


def _reckoned(bundle: Bundle, read: TableRead) -> Bundle:
    lines = [row.bought for row in bundle.rows]
    try:
        return replace(bundle, reckoned=tuple(reckon_delivery(bundle.facts, lines)))
    except PlannerError as error:
        named = len(read.faults)
        # The delivery counts its own lines; here they are named as the table does, so each is tried alone.
        for row in bundle.rows:
            try:
                reckon_delivery(bundle.facts, [row.bought])
            except PlannerError as alone:
                read.faults.append(Fault(row.line, "", _FIRST_LINE.sub("this line", str(alone))))
                if len(read.faults) > MOST_FAULTS:
                    break
        if len(read.faults) == named:
            read.faults.append(Fault(0, "", str(error)))
        return bundle
