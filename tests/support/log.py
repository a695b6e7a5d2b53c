"""A time log to test with: an entry of a plan and one of a job that is done."""

from __future__ import annotations

from django.utils import timezone

from shopapp.jobs.models import Job
from shopapp.jobs.timing import timed_of as timed_of_job
from shopapp.plans.models import Plan
from shopapp.plans.timing import timed_of as timed_of_plan
from shopapp.schedule.log.actions import TimeFacts, log_time
from shopapp.schedule.log.planning import counts_of_record
from shopapp.schedule.log.timed import Timed
from shopapp.schedule.models import TimeEntry


def write(who, timed: Timed, operation: str, minutes: int, **changes) -> TimeEntry:
    facts = TimeFacts(**{"operation": operation, "minutes": minutes, "on": timezone.localdate(), "by": who, **changes})
    planned = counts_of_record(timed.record)
    return log_time(who=who, key=timed.key, label=timed.label, facts=facts, planned=planned)


def a_log(who, plan: Plan, job: Job) -> dict[str, int]:
    """The numbers of an entry of the plan, under way, and of one of the job, which is done."""
    of_plan = write(who, timed_of_plan(plan), "crosscut", 45, note="with the new sled")
    write(who, timed_of_job(job), "row_glue", 30)
    of_job = write(who, timed_of_job(job), "sand_dm2", 75, finishes=True)
    return {"plan_entry": of_plan.pk, "job_entry": of_job.pk}
