"""Sizes as a tile was gauged, on a leaf of their own, and the lengths that rows are laid of."""

from __future__ import annotations

from dataclasses import dataclass

from planner.errors import PlannerError
from shopapp.plans.cutting.asmade.planning import Followed, follow
from shopapp.plans.cutting.asmade.readers import gauged_last, measured_of
from shopapp.plans.models import CutSheet, Plan, TileMeasured
from shopapp.workshop.models import Workshop


@dataclass(frozen=True)
class AsGauged:
    """``followed`` is None where nothing follows from the ``measure``, and ``trouble`` says why."""

    measure: TileMeasured
    followed: Followed | None
    names: dict[str, str]
    trouble: str = ""


def newest_measure(sheet: CutSheet | None, plan: Plan) -> TileMeasured | None:
    """What was gauged last of the tiles of a cut plan; of panels nothing follows from a tile. One query."""
    if sheet is None or plan.record.get("panels"):
        return None
    return gauged_last(sheet)


def as_gauged(record: dict, sheet: CutSheet | None, measure_pk: object, shop: Workshop) -> AsGauged | None:
    """None where the book was asked for before anything was gauged. One query."""
    if sheet is None or measure_pk is None:
        return None
    measure = TileMeasured.objects.get(pk=measure_pk)
    names = {wood["wood"]: wood["name"] for wood in record["woods"]}
    try:
        found = follow(record, sheet.form, sheet.set_ups_record, measured_of(measure), measure.keep, shop)
    except PlannerError as error:
        return AsGauged(measure, None, names, str(error))
    return AsGauged(measure, found, names)
