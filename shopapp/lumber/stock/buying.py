"""Wood bought: a delivery with its lines goes into the book whole or not at all, and its boards onto the rack."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import write_audit
from shopapp.common.fields import MOST_MONEY
from shopapp.lumber.models import Delivery, Lot, StockEntry, StockPiece, Supplier
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from . import planning
from .ledger import add_pieces, open_entry
from .marks import next_marks, taken_marks

Spend = Callable[[], None]
MOST_LINES = 2000
MOST_BOARDS = 2000
# Board feet are kept exactly, as a fraction in text; characters.
LONGEST_FEET = 60
# What is known of a lot's boards beside their sizes.
LOT_FACTS = ("grade", "surfaced", "cut", "sapwood", "shade", "moisture", "moisture_on", "fit_on")


@dataclass(frozen=True)
class Terms:
    """How a seller counted and taxed that day."""

    rule: str = Supplier.Rule.EXACT
    thin_as_inch: bool = False
    tax: Fraction = Fraction(0)
    tax_included: bool = True

    @classmethod
    def of(cls, supplier: Supplier) -> Terms:
        return cls(supplier.rule, supplier.thin_as_inch, Fraction(supplier.tax), supplier.tax_included)


@dataclass(frozen=True)
class DeliveryFacts:
    """What is true of a whole delivery. ``terms`` are the supplier's own of today where none are given."""

    supplier: Supplier
    on: date
    reference: str = ""
    carriage: Decimal = Decimal(0)
    note: str = ""
    terms: Terms | None = None

    @property
    def reckoned_by(self) -> Terms:
        return self.terms or Terms.of(self.supplier)


@dataclass(frozen=True)
class BoughtLine:
    """One line as it was typed: boards alike. ``nominal_thickness`` is what is charged for, ``thickness`` what is
    there; both are one where the seller charges what is there. ``mark`` is that of a single board which carries one
    already; ``place_in_file`` orders the pieces of several deliveries that came together."""

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
    # LOT_FACTS, as the lot keeps them; some or all.
    facts: Mapping[str, object] = ()
    mark: str = ""
    set_aside: str = ""
    place_in_file: int = 0


@dataclass(frozen=True)
class ReckonedLine:
    """What a line comes to, before it is booked: board feet charged and there, and its cost by parts."""

    tallied: planning.Tallied
    cost: planning.LineCost


def reckon_delivery(facts: DeliveryFacts, lines: Sequence[BoughtLine]) -> list[ReckonedLine]:
    """What a delivery will cost, line by line; writes nothing. Raises PlannerError naming the line."""
    _check(facts, lines)
    terms, exponent = facts.reckoned_by, the_workshop().currency_exponent
    charged = [planning.BoardSize(_nominal(x), x.width, x.length, x.count) for x in lines]
    there = [planning.BoardSize(x.thickness, x.width, x.length, x.count) for x in lines]
    rule = planning.TallyRule(terms.rule, terms.thin_as_inch)
    # Sold by board feet, a line is charged by the seller's rule; all others as measured, whatever its rule refuses.
    numbers = [n for n, x in enumerate(lines, start=1) if x.per == "bf"]
    by_rule = iter(planning.tally([charged[n - 1] for n in numbers], rule, numbers))
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
        tax=terms.tax,
        tax_included=terms.tax_included,
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
    return book_deliveries(who=who, deliveries=[(facts, lines)], spend=spend)[0]


def book_deliveries(
    *,
    who: Member | None,
    deliveries: Sequence[tuple[DeliveryFacts, Sequence[BoughtLine]]],
    spend: Spend = lambda: None,
) -> list[Delivery]:
    """Write several deliveries that came together, all or none. Pieces come to the rack in the order of their lines
    in the file. Raises PlannerError when a mark given is another's, or a line cannot be reckoned."""
    owner_only(who)
    with transaction.atomic():
        spend()
        booked, pieces = [], []
        for facts, lines in deliveries:
            supplier = Supplier.objects.select_for_update().get(pk=facts.supplier.pk)
            facts = replace(facts, supplier=supplier)
            delivery, entry = _open_delivery(who, facts, sum(line.count for line in lines))
            booked.append(delivery)
            pieces += _book_lines(entry, delivery, lines, reckon_delivery(facts, lines))
        pieces.sort(key=lambda made: made[0])
        _mark([piece for _, _, piece in pieces])
        add_pieces([(entry, f"supplier {piece.lot.delivery.supplier_id}", piece) for _, entry, piece in pieces])
    return booked


def _open_delivery(who: Member | None, facts: DeliveryFacts, boards: int) -> tuple[Delivery, StockEntry]:
    terms = facts.reckoned_by
    delivery = Delivery.objects.create(
        supplier=facts.supplier,
        on=facts.on,
        reference=facts.reference,
        carriage=facts.carriage,
        tax=terms.tax,
        tax_included=terms.tax_included,
        rule=terms.rule,
        thin_as_inch=terms.thin_as_inch,
        note=facts.note,
        booked_by=who,
    )
    words = f"{boards} {'board was' if boards == 1 else 'boards were'} bought from {facts.supplier.name}."
    entry = open_entry(who, StockEntry.Kind.BOUGHT, words)
    write_audit(who, words, delivery)
    return delivery, entry


def _book_lines(
    entry: StockEntry, delivery: Delivery, lines: Sequence[BoughtLine], reckoned: Sequence[ReckonedLine]
) -> list[tuple[int, StockEntry, StockPiece]]:
    """Write the lots, and make the pieces, not written yet: each with its place in the file and its entry."""
    lots = Lot.objects.bulk_create(
        [_lot(delivery, n, line, sums) for n, (line, sums) in enumerate(zip(lines, reckoned, strict=True), start=1)]
    )
    exponent = the_workshop().currency_exponent
    made = []
    for lot, line, sums in zip(lots, lines, reckoned, strict=True):
        for worth in planning.shared(sums.cost.cost, [Fraction(1)] * line.count, exponent):
            piece = StockPiece(
                mark=line.mark,
                lot=lot,
                wood=line.wood,
                thickness=line.thickness,
                width=line.width,
                length=line.length,
                surfaced=lot.surfaced,
                place=line.place,
                set_aside=line.set_aside,
                worth=worth,
            )
            made.append((line.place_in_file, entry, piece))
    return made


def _lot(delivery: Delivery, number: int, line: BoughtLine, sums: ReckonedLine) -> Lot:
    facts = dict(line.facts)
    if facts.get("moisture") is not None:
        facts["moisture_on"] = facts.get("moisture_on") or delivery.on
    return Lot(
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
        **facts,
    )


def _mark(pieces: Sequence[StockPiece]) -> None:
    """Give every piece that carries no mark the next free one."""
    given = {piece.mark for piece in pieces if piece.mark}
    if taken := taken_marks(given):
        raise PlannerError(f"{', '.join(sorted(taken)[:5])}: another piece has that mark.", mend="Leave it empty.")
    bare = [piece for piece in pieces if not piece.mark]
    for piece, mark in zip(bare, next_marks([piece.wood for piece in bare], besides=given), strict=True):
        piece.mark = mark


def _nominal(line: BoughtLine) -> Length:
    return line.nominal_thickness or line.thickness


def _check(facts: DeliveryFacts, lines: Sequence[BoughtLine]) -> None:
    if not lines:
        raise PlannerError("There is no board in this delivery.", mend="Write at least one line.")
    if len(lines) > MOST_LINES or sum(line.count for line in lines) > MOST_BOARDS:
        raise PlannerError(f"That is more than {MOST_BOARDS} boards.", mend="Book it as two deliveries.")
    for number, line in enumerate(lines, start=1):
        known = dict(line.facts)
        read = known.get("moisture") is not None and (known.get("moisture_on") or facts.on)
        if read and known.get("fit_on") and known["fit_on"] < read:
            raise PlannerError(
                f"Line {number} would be fit to mill before its meter reading.",
                mend="Write a later day.",
                field="fit_on",
            )
