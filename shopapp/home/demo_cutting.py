"""Where the lantern's wood is cut from at Reedbank Workshop: a cut plan, kept as it came at once."""

from __future__ import annotations

from shopapp.jobs.models import Job
from shopapp.jobs.readers import cutting_of
from shopapp.people.models import Member
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of


def fill_cutting(who: Member) -> None:
    """The commission's first cut plan, kept, and its boards promised; a search for a better one is left to whoever
    tries the demo, for it would take longer than filling all the rest."""
    job = Job.objects.select_related("plan").filter(kind=Job.Kind.COMMISSION).earliest("pk")
    cutting = cutting_of(job)
    keep_plan_of(who=who, cutting=cutting, search=ask_for_plan(who=who, cutting=cutting, wishes={}))
