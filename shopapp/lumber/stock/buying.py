"""Wood bought: a delivery with its lines goes into the book whole or not at all, and its boards onto the rack."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import write_audit
from shopapp.common.fields import MOST_MONEY
from shopapp.lumber.models import Delivery, Lot, StockEntry, Supplier
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from . import planning
from .ledger import add_piece, open_entry
from .marks import next_marks

Spend = Callable[[], None]
MOST_LINES = 500
MOST_BOARDS = 2000
# Board feet are kept exactly, as a fraction in text; characters.
LONGEST_FEET = 60


@dataclass(frozen=True)
class DeliveryFacts:
    """What is true of a whole delivery."""

    supplier: Supplier
    on: date
    reference: str = ""
    carriage: Decimal = Decimal(0)
    note: str = ""


@dataclass(frozen=True)
class BoughtLine:
    """One line as it was typed: boards alike. ``nominal_thickness`` is what is charged for, ``thickness`` what is
    there; both are one where the seller charges what is there."""

    wood: str
    thickness: Length
    width: Length
    length: Length
    price: Decimal
    per: str
    count: int = 1
    nominal_thickness: Length | None = None
    mass_kg: Decimal | None = None
    place: str = ""
    # grade, surfaced, cut, sapwood, shade, moisture, moisture_on, fit_on: as the lot keeps them.
    facts: Mapping[str, object] = ()


@dataclass(frozen=True)
class ReckonedLine:
    """What a line comes to, before it is booked: board feet charged and there, and its cost by parts."""

    tallied: planning.Tallied
    cost: planning.LineCost


def reckon_delivery(facts: DeliveryFacts, lines: Sequence[BoughtLine]) -> list[ReckonedLine]:
    """What a delivery will cost, line by line; writes nothing. Raises PlannerError naming the line."""
    _check(lines)
    supplier, exponent = facts.supplier, the_workshop().currency_exponent
    charged = [planning.BoardSize(_nominal(x), x.width, x.length, x.count) for x in lines]
    there = [planning.BoardSize(x.thickness, x.width, x.length, x.count) for x in lines]
    rule = planning.TallyRule(supplier.rule, supplier.thin_as_inch)
    # Sold by board feet, a line is charged by the seller's rule; all others as measured, whatever its rule refuses.
    by_rule = iter(planning.tally([b for b, x in zip(charged, lines, strict=True) if x.per == "bf"], rule))
    exact = planning.tally(there, planning.TallyRule())
    tallied = [
        planning.Tallied(next(by_rule).paid if x.per == "bf" else e.there, e.there)
        for x, e in zip(lines, exact, strict=True)
    ]
    goods = [
        planning.goods_of(b, t, planning.Charge(x.price, x.per, x.mass_kg), exponent)
        for b, t, x in zip(there, tallied, lines, strict=True)
    ]
    costs = planning.delivery_costs(
        there,
        goods,
        carriage=facts.carriage,
        tax=Fraction(supplier.tax),
        tax_included=supplier.tax_included,
        exponent=exponent,
    )
    for number, (t, c) in enumerate(zip(tallied, costs, strict=True), start=1):
        if max(len(str(t.paid)), len(str(t.there))) > LONGEST_FEET:
            raise PlannerError(
                f"Line {number} is measured finer than the book keeps.", mend="A tenth of a millimetre is enough."
            )
        if c.cost > MOST_MONEY:
            raise PlannerError(f"Line {number} costs more than this book can hold.", mend=f"At most {MOST_MONEY}.")
    return [ReckonedLine(t, c) for t, c in zip(tallied, costs, strict=True)]


def book_delivery(
    *, who: Member | None, facts: DeliveryFacts, lines: Sequence[BoughtLine], spend: Spend = lambda: None
) -> Delivery:
    """Write a delivery into the book: its lots, a piece with a mark of its own for every board, one entry for all.

    What the pieces of a line are worth adds up to the line's cost, to the coin.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        supplier = Supplier.objects.select_for_update().get(pk=facts.supplier.pk)
        reckoned = reckon_delivery(facts, lines)
        delivery = Delivery.objects.create(
            supplier=supplier,
            on=facts.on,
            reference=facts.reference,
            carriage=facts.carriage,
            tax=supplier.tax,
            tax_included=supplier.tax_included,
            rule=supplier.rule,
            thin_as_inch=supplier.thin_as_inch,
            note=facts.note,
            booked_by=who,
        )
        boards = sum(line.count for line in lines)
        words = f"{boards} {'board was' if boards == 1 else 'boards were'} bought from {supplier.name}."
        entry = open_entry(who, StockEntry.Kind.BOUGHT, words)
        for number, (line, sums) in enumerate(zip(lines, reckoned, strict=True), start=1):
            _book_line(entry, delivery, number, line, sums)
        write_audit(who, words, delivery)
    return delivery


def _book_line(entry: StockEntry, delivery: Delivery, number: int, line: BoughtLine, sums: ReckonedLine) -> None:
    lot = Lot.objects.create(
        delivery=delivery,
        number=number,
        wood=line.wood,
        nominal_thickness=_nominal(line),
        thickness=line.thickness,
        width=line.width,
        length=line.length,
        count=line.count,
        price=line.price,
        per=line.per,
        mass_kg=line.mass_kg,
        paid_bf=str(sums.tallied.paid),
        there_bf=str(sums.tallied.there),
        goods=sums.cost.goods,
        tax=sums.cost.tax,
        carriage=sums.cost.carriage,
        **dict(line.facts),
    )
    worths = planning.shared(sums.cost.cost, [Fraction(1)] * line.count, the_workshop().currency_exponent)
    for mark, worth in zip(next_marks(line.wood, line.count), worths, strict=True):
        add_piece(
            entry,
            came_from=f"supplier {delivery.supplier_id}",
            mark=mark,
            lot=lot,
            wood=line.wood,
            thickness=line.thickness,
            width=line.width,
            length=line.length,
            surfaced=lot.surfaced,
            place=line.place,
            worth=worth,
        )


def _nominal(line: BoughtLine) -> Length:
    return line.nominal_thickness or line.thickness


def _check(lines: Sequence[BoughtLine]) -> None:
    if not lines:
        raise PlannerError("There is no board in this delivery.", mend="Write at least one line.")
    if len(lines) > MOST_LINES or sum(line.count for line in lines) > MOST_BOARDS:
        raise PlannerError(
            f"That is more than {MOST_LINES} lines or {MOST_BOARDS} boards.", mend="Book it as two deliveries."
        )
