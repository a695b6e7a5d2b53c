"""How far a kept cut plan has come, from its entries."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopapp.plans.models import CutEntry, CutSheet

Kind = CutEntry.Kind


@dataclass(frozen=True)
class Standing:
    """What holds of a sheet. ``starts`` took boards from the rack, ``cuts`` are by board and rough length (counted
    from 1), ``returns`` what offcuts came back by; what was undone, here or on the rack's own page, is in none."""

    starts: list[CutEntry]
    cuts: dict[tuple[str, int], CutEntry]
    returns: list[CutEntry]

    @property
    def is_started(self) -> bool:
        return bool(self.starts)

    @property
    def settled(self) -> set[tuple[str, int, str, int]]:
        """Planned offcuts that came back or were thrown away: board, rough length, kind, number."""
        return {
            (entry.board, one["rough"], one["kind"], one["number"])
            for entry in self.returns
            for one in entry.offcuts
            if one["rough"]
        }


def standing_of(sheet: CutSheet) -> Standing:
    """One query."""
    return standing_from(
        CutEntry.objects.filter(sheet=sheet)
        .exclude(kind=Kind.UNDONE)
        .filter(undone_by=None, stock_entry__undone_by=None)
        .select_related("who")
    )


def standing_from(entries: Iterable[CutEntry]) -> Standing:
    """Of entries that hold, newest first."""
    starts, cuts, returns = [], {}, []
    for entry in entries:
        if entry.kind == Kind.STARTED:
            starts.append(entry)
        elif entry.kind == Kind.CUT:
            cuts[entry.board, entry.rough] = entry
        else:
            returns.append(entry)
    return Standing(starts, cuts, returns)


def newest_sheet(key: str, plan_pk: int | None = None) -> CutSheet | None:
    """The sheet that counts for a key: the newest kept, if it is of that plan. One query."""
    sheet = CutSheet.objects.filter(key=key).select_related("plan").first()
    return sheet if sheet is not None and plan_pk in (None, sheet.plan_id) else None
