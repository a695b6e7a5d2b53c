"""A job as the pages of its cut plan are told of it."""

from __future__ import annotations

from shopapp.plans.cutting.wanted import Cutting

from .planned import planned_job
from .readers import cutting_of


def cutting_of_job(pk: int) -> Cutting:
    return cutting_of(planned_job(pk, "what is cut for it is known once it has one."))
