"""What was measured of the tiles of a key, and what of it shows on the kept sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.errors import PlannerError
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet, TileMeasured
from shopapp.workshop.models import Workshop

from .planning import Followed, Measured, SaidSeen, follow, said_of


def measures_of(sheet: CutSheet) -> list[TileMeasured]:
    """Of every sheet of its key and plan, newest first: a cut plan kept anew cuts the same tiles. One query."""
    rows = TileMeasured.objects.filter(sheet__key=sheet.key, sheet__plan=sheet.plan_id)
    return list(rows.select_related("who"))


def gauged_last(sheet: CutSheet) -> TileMeasured | None:
    """One query."""
    return TileMeasured.objects.filter(sheet__key=sheet.key, sheet__plan=sheet.plan_id).first()


def measured_of(row: TileMeasured) -> Measured:
    return Measured(row.length, row.tiles, row.pieces, row.width)


@dataclass(frozen=True)
class OnSheet:
    """What a kept sheet shows of its tiles: ``said`` is what a small error does to a row, ``measures`` what was
    measured, newest first, ``followed`` what follows from the newest, ``trouble`` why nothing does. Rows ``of_panels``
    are slices, and nothing follows from a tile of them."""

    said: Sequence[SaidSeen]
    measures: Sequence[TileMeasured]
    followed: Followed | None
    trouble: str
    names: dict[str, str]
    of_panels: bool = False

    @property
    def newest(self) -> TileMeasured | None:
        return self.measures[0] if self.measures else None

    @property
    def older(self) -> int:
        return max(len(self.measures) - 1, 0)


def on_sheet(cutting: Cutting, sheet: CutSheet, workshop: Workshop) -> OnSheet:
    """One query, and one more for a sheet of another plan than is cut now."""
    record = (cutting.plan if cutting.plan.pk == sheet.plan_id else sheet.plan).record
    measures = measures_of(sheet)
    followed, trouble = None, ""
    if measures:
        try:
            followed = follow(
                record, sheet.form, sheet.set_ups_record, measured_of(measures[0]), measures[0].keep, workshop
            )
        except PlannerError as error:
            trouble = str(error)
    names = {wood["wood"]: wood["name"] for wood in record["woods"]}
    return OnSheet(said_of(record, workshop), measures, followed, trouble, names, bool(record.get("panels")))
