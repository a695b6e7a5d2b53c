"""A job as the pages of its shop book are told of it."""

from __future__ import annotations

from shopapp.plans.book.wanted import Binding

from .cutting import cutting_of
from .evenings import keys_before
from .planned import planned_job


def binding_of_job(pk: int) -> Binding:
    job = planned_job(pk, "its shop book is made from one.")
    return Binding(cutting_of(job), keys_before(job))
