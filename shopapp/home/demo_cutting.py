"""Where the lantern's wood is cut from at Reedbank Workshop: a cut plan, looked for a moment, and kept."""

from __future__ import annotations

from itertools import count

from shopapp.jobs.cutting import cutting_of
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.cutting import planning
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.searching import Run
from shopapp.workshop.readers import the_workshop

# A second or two of looking: the floor is then near the plan, and filling the demo takes hardly longer.
_LOOKS = 3600


def fill_cutting(who: Member) -> None:
    """The commission's cut plan, found and kept, and its boards promised."""
    job = Job.objects.select_related("plan").filter(kind=Job.Kind.COMMISSION).earliest("pk")
    cutting = cutting_of(job)
    search = ask_for_plan(who=who, cutting=cutting, wishes={})
    run, looks = Run(search.input_hash), count()
    if run.begin():
        found = planning.search(
            search.file, job.plan.record, the_workshop(), lambda: next(looks) < _LOOKS, lambda prove: None
        )
        run.save(found)
    search.refresh_from_db()
    keep_plan_of(who=who, cutting=cutting, search=search)
