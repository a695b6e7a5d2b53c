"""A measure kept: from then on it counts, and the one before it stays to be read."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.people.models import Member
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet, TileMeasured
from shopapp.workshop.readers import the_workshop

from .planning import Measured, follow

Spend = Callable[[], None]


def keep_measure(
    *,
    who: Member | None,
    cutting: Cutting,
    sheet: CutSheet,
    measured: Measured,
    keep: str,
    spend: Spend = lambda: None,
) -> TileMeasured:
    """Keep what was measured of the tiles of a sheet. Raises AsMadeError for what cannot be one of its board's, and
    PlannerError where nothing more is cut for whoever wants it."""
    follow(sheet.plan.record, sheet.form, sheet.set_ups_record, measured, keep, the_workshop())
    with transaction.atomic():
        spend()
        if closed := cutting.refuses():
            raise PlannerError(closed)
        kept = TileMeasured.objects.create(
            who=who,
            sheet=sheet,
            tiles=measured.tiles,
            pieces=measured.pieces,
            length=measured.length,
            width=measured.width,
            keep=keep,
        )
        write_audit(who, f"What tiles measure was kept for {cutting.label}.", kept)
    return kept
