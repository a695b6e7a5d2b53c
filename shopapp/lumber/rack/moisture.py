"""What a meter read of the boards on the rack, wood by wood."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Min, Q

from shopapp.lumber.models import StockPiece


@dataclass(frozen=True)
class MeterReading:
    """``many`` pieces of a wood whose lot read ``moisture`` percent; ``mark`` is the first of them."""

    wood: str
    moisture: Decimal
    mark: str
    many: int


def readings_of(woods: Collection[str], key: str = "") -> list[MeterReading]:
    """Readings of pieces on the rack of these woods that are free or promised under ``key``, driest first. Where some
    are promised under it, only theirs. One query."""
    here = StockPiece.objects.filter(
        Q(demand=None, set_aside="") | Q(demand__key=key) if key else Q(demand=None, set_aside=""),
        state=StockPiece.State.HERE,
        wood__in=woods,
        lot__moisture__isnull=False,
    )
    grouped = here.values("wood", "lot__moisture", "demand__key").annotate(many=Count("pk"), first=Min("mark"))
    rows = list(grouped.order_by("lot__moisture", "wood"))
    promised = [row for row in rows if row["demand__key"]]
    return [MeterReading(row["wood"], row["lot__moisture"], row["first"], row["many"]) for row in promised or rows]
