"""What the pages of consumables show, in a number of queries that does not grow with them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import QuerySet

from shopapp.lumber.models import Supply, SupplyEntry

from . import planning


@dataclass(frozen=True)
class SupplyLine:
    """A consumable with what one of it is worth; none while nothing is held."""

    supply: Supply

    @property
    def each(self) -> Fraction | None:
        row = self.supply
        return planning.Held(row.amount, row.worth).average if row.amount else None

    @property
    def is_low(self) -> bool:
        return self.supply.kept and self.supply.low is not None and self.supply.amount < self.supply.low


def supply_lines() -> list[SupplyLine]:
    """Every consumable, those kept first. One query."""
    return [SupplyLine(row) for row in Supply.objects.all()]


def worth_of_all(lines: list[SupplyLine]) -> Decimal:
    return sum((line.supply.worth for line in lines), Decimal(0))


def story(supply: Supply) -> QuerySet[SupplyEntry]:
    """Newest first."""
    return supply.entries.select_related("who", "undone_by").order_by("-pk")


def undoable(supply: Supply) -> SupplyEntry | None:
    """The newest entry that stands."""
    standing = supply.entries.filter(undone_by=None).exclude(kind=SupplyEntry.Kind.UNDONE)
    return standing.order_by("-pk").first()
