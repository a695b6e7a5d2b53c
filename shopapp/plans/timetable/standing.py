"""Which steps are ticked, by whom and when: the newest tick of each counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopapp.plans.models import StepTick

from . import planning

# What a row's count without glue is ticked under, after the row's own key.
DRY = "/dry"


def ticked_of(keys: Sequence[str]) -> dict[str, datetime]:
    """The steps that are done, and when each was ticked. One query."""
    stands: dict[str, StepTick] = {}
    for tick in StepTick.objects.filter(key__in=keys).order_by("pk"):
        stands[tick.step] = tick
    return {step: tick.at for step, tick in stands.items() if tick.done}


def needs_dry_count(form: str, step: str) -> bool:
    """Whether a step glues pieces that are laid and counted without glue first."""
    return step in planning.dry_counts_in(form)
