"""What the pages about buying show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import Count, Exists, OuterRef, QuerySet, Sum

from planner.measures import Length
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import Delivery, Lot, StockEntry, StockMove, StockPiece, Supplier
from shopapp.lumber.stock.buying import BoughtLine, ReckonedLine

# Of one line no more marks are written out than that; the rack has them all.
MARKS_SHOWN = 12


def suppliers() -> QuerySet[Supplier]:
    return Supplier.objects.annotate(bought=Count("deliveries"))


@dataclass(frozen=True)
class LineSeen:
    """A line as it stands in a list: what it is, board feet as paid and as measured, what it cost."""

    number: int
    wood: WoodSeen
    nominal: Length
    thickness: Length
    width: Length
    length: Length
    count: int
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
    boards: int
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
    return Totals(sum(line.count for line in lines), **feet, **sums)


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
                _facts(facts["grade"], facts["surfaced"], facts["cut"], line.place),
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


def delivery_page(delivery: Delivery) -> DeliverySeen:
    """A delivery with its lines, their marks, and the entry that brought them. Four queries."""
    seen = woods_seen()
    marks: dict[int, list[str]] = {}
    pieces = StockPiece.objects.filter(lot__delivery=delivery, parent=None).order_by("pk")
    for lot, mark in pieces.values_list("lot_id", "mark"):
        marks.setdefault(lot, []).append(mark)
    lines = [
        LineSeen(
            lot.number, seen[lot.wood], lot.nominal_thickness, lot.thickness, lot.width, lot.length, lot.count,
            _facts(lot.grade, lot.surfaced, lot.cut, ""), Fraction(lot.paid_bf), Fraction(lot.there_bf), lot.goods,
            lot.tax, lot.carriage, lot.cost, tuple(marks[lot.pk][:MARKS_SHOWN]), len(marks[lot.pk][MARKS_SHOWN:]),
        )
        for lot in delivery.lots.all()
    ]  # fmt: skip
    entry = entry_of(delivery)
    return DeliverySeen(delivery, lines, totals(lines), entry, getattr(entry, "undone_by", None))


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


def _facts(grade: str, surfaced: bool, cut: str, place: str) -> tuple[str, ...]:
    cut_words = str(dict(Lot.Cut.choices).get(cut, "")) if cut else ""
    return tuple(word for word in (grade, "surfaced" if surfaced else "rough", cut_words, place) if word)
