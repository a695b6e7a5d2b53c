"""What the pages about buying show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import Count, Exists, OuterRef, QuerySet, Sum
from django.utils.formats import date_format

from planner.measures import Length
from shopapp.common.fields import plain_number
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import Delivery, Lot, StockEntry, StockMove, StockPiece, Supplier
from shopapp.lumber.stock.buying import LOT_FACTS, BoughtLine, ReckonedLine
from shopapp.lumber.stock.planning import BoardSize, mass_of

# Of one line no more marks are written out than that; the rack has them all.
MARKS_SHOWN = 12


def suppliers() -> QuerySet[Supplier]:
    return Supplier.objects.annotate(bought=Count("deliveries"))


@dataclass(frozen=True)
class LineSeen:
    """A line as it stands in a list: what it is and what its price is ``per``, board feet as paid and as measured, what
    it cost."""

    number: int
    wood: WoodSeen
    nominal: Length
    thickness: Length
    width: Length
    length: Length
    count: int
    per: str
    facts: tuple[str, ...]
    paid: Fraction | None = None
    there: Fraction | None = None
    goods: Decimal | None = None
    tax: Decimal | None = None
    carriage: Decimal | None = None
    cost: Decimal | None = None
    marks: tuple[str, ...] = ()
    more_marks: int = 0

    @property
    def quarters(self) -> str:
        """The thickness it was sold as, in quarters of an inch; nothing where it was not sold so."""
        count = self.nominal.inches * 4
        return f"{count}/4" if count.denominator == 1 and count >= 2 else ""

    @property
    def measured_otherwise(self) -> bool:
        return self.thickness != self.nominal


@dataclass(frozen=True)
class Totals:
    """``per`` is what every price is for, empty where one is for something else than another."""

    boards: int
    per: str
    paid: Fraction
    there: Fraction
    goods: Decimal
    tax: Decimal
    carriage: Decimal
    cost: Decimal


def totals(lines: Sequence[LineSeen]) -> Totals:
    """Sums of lines that are reckoned."""
    sums = {name: sum((getattr(x, name) for x in lines), Decimal(0)) for name in ("goods", "tax", "carriage", "cost")}
    feet = {name: sum((getattr(x, name) for x in lines), Fraction(0)) for name in ("paid", "there")}
    per = {line.per for line in lines}
    return Totals(sum(line.count for line in lines), per.pop() if len(per) == 1 else "", **feet, **sums)


def lines_so_far(
    bought: Sequence[BoughtLine], reckoned: Sequence[ReckonedLine] | None, seen: Mapping[str, WoodSeen]
) -> list[LineSeen]:
    """The lines of a delivery that is not in the book yet, the newest first. No query."""
    lines = []
    for i, line in enumerate(bought):
        sums = {}
        if reckoned:
            tallied, cost = reckoned[i].tallied, reckoned[i].cost
            sums = {
                **{"paid": tallied.paid, "there": tallied.there, "goods": cost.goods, "tax": cost.tax},
                **{"carriage": cost.carriage, "cost": cost.cost},
            }
        facts = dict(line.facts)
        lines.append(
            LineSeen(
                i + 1,
                seen[line.wood],
                line.nominal_thickness or line.thickness,
                line.thickness,
                line.width,
                line.length,
                line.count,
                line.per,
                _facts(line.place, **facts),
                **sums,
            )
        )
    return lines[::-1]


@dataclass(frozen=True)
class DeliverySeen:
    delivery: Delivery
    lines: list[LineSeen]
    totals: Totals
    entry: StockEntry
    undone: StockEntry | None
    # Kilograms by published densities; None where one of its woods has none.
    mass: Fraction | None


def delivery_page(delivery: Delivery) -> DeliverySeen:
    """A delivery with its lines, their marks, and the entry that brought them. Four queries."""
    seen = woods_seen()
    marks: dict[int, list[str]] = {}
    pieces = StockPiece.objects.filter(lot__delivery=delivery, parent=None).order_by("pk")
    for lot, mark in pieces.values_list("lot_id", "mark"):
        marks.setdefault(lot, []).append(mark)
    lots = list(delivery.lots.all())
    lines = [_line_of(lot, seen[lot.wood], marks[lot.pk]) for lot in lots]
    masses = [
        mass_of(lot.wood, BoardSize(lot.thickness, lot.width, lot.length, lot.count), lot.moisture) for lot in lots
    ]
    mass = None if None in masses else sum(masses)
    entry = entry_of(delivery)
    return DeliverySeen(delivery, lines, totals(lines), entry, getattr(entry, "undone_by", None), mass)


def _line_of(lot: Lot, wood: WoodSeen, marks: list[str]) -> LineSeen:
    return LineSeen(
        number=lot.number,
        wood=wood,
        nominal=lot.nominal_thickness,
        thickness=lot.thickness,
        width=lot.width,
        length=lot.length,
        count=lot.count,
        per=lot.per,
        facts=_facts("", **{name: getattr(lot, name) for name in LOT_FACTS}),
        paid=Fraction(lot.paid_bf),
        there=Fraction(lot.there_bf),
        goods=lot.goods,
        tax=lot.tax,
        carriage=lot.carriage,
        cost=lot.cost,
        marks=tuple(marks[:MARKS_SHOWN]),
        more_marks=len(marks[MARKS_SHOWN:]),
    )


def entry_of(delivery: Delivery) -> StockEntry:
    """The entry that brought a delivery's boards to the rack."""
    kind = StockEntry.Kind.BOUGHT
    found = StockEntry.objects.filter(kind=kind, moves__piece__lot__delivery=delivery)
    return found.select_related("undone_by", "who").order_by("pk").first()


def deliveries() -> QuerySet[Delivery]:
    """Every delivery, newest first, with how many boards it brought, and whether it was undone."""
    undone = StockMove.objects.filter(
        piece__lot__delivery=OuterRef("pk"), entry__kind=StockEntry.Kind.BOUGHT, entry__undone_by__isnull=False
    )
    counted = Lot.objects.filter(delivery=OuterRef("pk")).order_by().values("delivery").annotate(n=Sum("count"))
    return Delivery.objects.select_related("supplier").annotate(undone=Exists(undone), boards=counted.values("n"))


def _facts(
    place: str, grade="", surfaced=False, cut="", sapwood=False, shade="", moisture=None, moisture_on=None, fit_on=None
) -> tuple[str, ...]:
    """What is known of a line beside its sizes, in words."""
    read = f"{plain_number(moisture, 1)}\u00a0%" if moisture is not None else ""
    words = (
        grade,
        "surfaced" if surfaced else "rough",
        str(dict(Lot.Cut.choices).get(cut, "")) if cut else "",
        "sapwood" if sapwood else "",
        shade,
        f"{read} on {date_format(moisture_on, 'j M Y')}" if read and moisture_on else read,
        f"fit to mill from {date_format(fit_on, 'j M Y')}" if fit_on else "",
        place,
    )
    return tuple(word for word in words if word)
