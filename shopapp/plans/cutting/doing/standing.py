"""How far a kept cut plan has come, from its entries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopapp.lumber.models import Demand
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
    return standings_of([sheet])[0][1]


def standings_of(sheets: Sequence[CutSheet]) -> list[tuple[CutSheet, Standing]]:
    """Each sheet with how far it has come. One query."""
    found: dict[int, list[CutEntry]] = {sheet.pk: [] for sheet in sheets}
    held = CutEntry.objects.filter(sheet__in=found, undone_by=None, stock_entry__undone_by=None)
    for entry in held.exclude(kind=Kind.UNDONE).select_related("who"):
        found[entry.sheet_id].append(entry)
    return [(sheet, standing_from(found[sheet.pk])) for sheet in sheets]


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


def why_not_whole(key: str, mark: str) -> str:
    """Why a board that is out for ``key`` does not come back whole; empty where nothing was cut of it. Inside a
    transaction: whoever ticks a cut meanwhile waits."""
    Demand.objects.select_for_update().filter(key=key).first()
    cut = CutEntry.objects.filter(sheet__key=key, kind=Kind.CUT, board=mark, undone_by=None).first()
    if cut is None:
        return ""
    return f"{mark} is not whole any more: {cut.words} Measure what is left of it, or take the tick back at the bench."
