"""What the pages about woods show."""

from __future__ import annotations

from dataclasses import dataclass

from .models import WoodOnHand
from .planning import MARKS, WOODS, Caution, Wood, food_cautions, plank


@dataclass(frozen=True)
class WoodRow:
    row: WoodOnHand
    plank: str
    published: Wood


def woods_on_hand() -> list[WoodRow]:
    """Every wood of this maker's, those on hand first. One query."""
    return [WoodRow(row, plank(row), WOODS[row.wood]) for row in WoodOnHand.objects.all()]


@dataclass(frozen=True)
class PublishedWood:
    """A wood of the table: what is published of it, and what to know, the more so where food lies on it."""

    wood: Wood
    food: tuple[Caution, ...]


def published_wood(wood_id: str) -> PublishedWood | None:
    """None for a wood that is not in the table. No query."""
    found = WOODS.get(wood_id)
    return PublishedWood(found, food_cautions(found)) if found else None


def missing_woods() -> list[str]:
    """Ids of the table's woods that are not among this maker's, by name."""
    have = set(WoodOnHand.objects.values_list("wood", flat=True))
    return sorted((w for w in WOODS if w not in have), key=lambda w: WOODS[w].name)


def taken_marks(*, besides: WoodOnHand | None = None) -> dict[str, str]:
    rows = WoodOnHand.objects.filter(on_hand=True).exclude(pk=besides.pk if besides else None)
    return dict(rows.values_list("mark", "name"))


def free_mark() -> str:
    taken = taken_marks()
    return next((mark for mark in MARKS if mark not in taken), "")
