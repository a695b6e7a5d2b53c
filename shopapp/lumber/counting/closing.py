"""A stocktake closed: its differences written as one entry, or nothing at all."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.lumber.models import StockEntry, StockPiece, Stocktake
from shopapp.lumber.rack.readers import sums_of
from shopapp.lumber.stock.actions import leave_rack
from shopapp.lumber.stock.ledger import NOT_FOUND, RACK, change_piece, open_entry
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from .actions import still_open
from .differences import Difference, differences, not_counted, seen_as
from .readers import uncounted

Spend = Callable[[], None]
MOST_WRITTEN = 2000
FIRST_OF_REST = 40
_SAID = {"missing": "not found", "again": "found again", "otherwise": "otherwise than the book had it"}


class SeenOtherwise(PlannerError):
    """What would be written is not what was read: somebody counted or changed a piece meanwhile."""


@dataclass(frozen=True)
class Rest:
    """The pieces nobody counted: how many, what they are worth, the first marks, and a sign of all of them."""

    count: int
    worth: Decimal
    marks: list[str]
    seen: str


@dataclass(frozen=True)
class Closing:
    """What a stocktake comes to: differences of what was counted, and what nobody counted."""

    found: list[Difference]
    rest: Rest

    @property
    def seen(self) -> str:
        """A sign of both, for the form."""
        return f"{seen_as(self.found)}.{self.rest.seen}"

    @property
    def writes(self) -> list[Difference]:
        return [d for d in self.found if d.is_written]


def closing_of(stocktake: Stocktake, unit: str) -> Closing:
    """At most four queries, however many pieces."""
    rest = uncounted(stocktake)
    sign = hashlib.sha256(repr(list(rest.order_by("pk").values_list("pk", "edit_version"))).encode()).hexdigest()[:20]
    sums = sums_of(rest)
    marks = list(rest.order_by("wood", "-length", "mark").values_list("mark", flat=True)[:FIRST_OF_REST])
    return Closing(differences(stocktake, unit), Rest(sums.pieces, sums.worth, marks, sign))


def close_stocktake(
    *, who: Member, stocktake: Stocktake, seen: str, rest_is_missing: bool = False, spend: Spend = lambda: None
) -> Stocktake:
    """Write every difference of a stocktake as one entry with its moves. ``seen`` is the sign of what was read;
    raises SeenOtherwise when it would not be that any more. What was changed since it was counted is left as it is."""
    owner_only(who)
    with transaction.atomic():
        spend()
        stocktake = still_open(stocktake)
        closing = closing_of(stocktake, the_workshop().unit)
        read, stands = seen.split("."), closing.seen.split(".")
        if read[0] != stands[0] or (rest_is_missing and read != stands):
            raise SeenOtherwise(
                "Somebody counted or changed a piece since this page was opened.", mend="Read it as it is now."
            )
        if len(closing.writes) + closing.rest.count * rest_is_missing > MOST_WRITTEN:
            raise PlannerError(
                f"More than {MOST_WRITTEN} pieces would change at once.",
                mend="Count what is there, or take stock of one wood or one place at a time.",
            )
        rest = uncounted(stocktake).select_related("demand").order_by("pk") if rest_is_missing else ()
        writes = [*closing.writes, *map(not_counted, rest)]
        entry = _write(who, stocktake, writes) if writes else None
        for left in (d for d in closing.found if d.kind == "changed"):
            write_audit(who, f"{left.piece.mark} was left as the book has it: {left.words}", left.piece)
        _close(who, stocktake, entry)
    return stocktake


def close_unwritten(*, who: Member, stocktake: Stocktake, spend: Spend = lambda: None) -> Stocktake:
    """A stocktake begun or counted in error: it is closed and the book stays as it is."""
    owner_only(who)
    with transaction.atomic():
        spend()
        stocktake = still_open(stocktake)
        _close(who, stocktake, None)
    return stocktake


def _write(who: Member, stocktake: Stocktake, writes: list[Difference]) -> StockEntry:
    counted = Counter(d.kind for d in writes)
    said = ", ".join(f"{counted[kind]} {words}" for kind, words in _SAID.items() if counted[kind])
    words = f"{stocktake}: {said}."
    entry = open_entry(who, StockEntry.Kind.COUNTED, words)
    for d in writes:
        if d.kind == "missing":
            leave_rack(entry, d.piece, StockPiece.State.MISSING, went_to=NOT_FOUND)
        elif d.kind == "again":
            change_piece(
                entry, d.piece, came_from=NOT_FOUND, went_to=RACK, carried=d.worth,
                **{"state": StockPiece.State.HERE, "worth": d.worth, **d.changes},
            )  # fmt: skip
        else:
            change_piece(entry, d.piece, **d.changes)
        write_audit(who, d.words, d.piece)
    return entry


def _close(who: Member, stocktake: Stocktake, entry: StockEntry | None) -> None:
    stocktake.closed_at, stocktake.closed_by, stocktake.entry = timezone.now(), who, entry
    stocktake.save()
    told = entry.words if entry else f"{stocktake} was closed; nothing was written."
    write_audit(who, told, stocktake)
