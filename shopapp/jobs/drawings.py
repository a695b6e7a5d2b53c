"""A job as the pages of its working drawings are told of it."""

from __future__ import annotations

from shopapp.plans.drawings.wanted import Drawn

from .cutting import cutting_of
from .evenings import keys_before
from .planned import planned_job


def drawn_of_job(pk: int) -> Drawn:
    job = planned_job(pk, "there is nothing to draw before it has one.")
    return Drawn(cutting_of(job), keys_before(job))
