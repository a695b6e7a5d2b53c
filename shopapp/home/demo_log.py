"""What Reedbank Workshop wrote down of a board that is finished, and of a corner of it that is mended. Every minute is
invented."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.models import Job
from shopapp.jobs.timing import timed_of
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.schedule.log.actions import TimeFacts, log_time, mend_time
from shopapp.schedule.log.planning import counts_of_record

# Days ago, operation, minutes, whether it was done with that, note.
ENTRIES = (
    (47, "setup_job", 60, True, ""),
    (47, "rip_strip", 35, True, ""),
    (45, "crosscut", 55, False, "padauk last, so that its dust is swept once"),
    (44, "crosscut", 40, True, ""),
    (44, "stop_change", 15, True, ""),
    (43, "joint", 50, True, ""),
    (43, "row_glue", 45, False, ""),
    (42, "row_glue", 50, True, ""),
    (40, "row_join", 120, True, ""),
    (39, "strip", 20, True, ""),
    (37, "sand_dm2", 95, True, ""),
    (36, "oil_dm2", 30, True, ""),
)
# A slip of the hand that was mended.
SLIP = (43, "row_glue")


def fill_log(who: Member) -> None:
    """The first lantern, handed over before the book began, with its time by operation; one entry was mended."""
    plan = Plan.objects.filter(design__name="Lantern on the jetty").order_by("pk").first()
    facts = JobFacts("The first lantern", Job.Kind.SALE, "", None, plan)
    job = make_job(who=who, facts=facts)
    for state in (Job.State.UNDER_WAY, Job.State.FINISHED, Job.State.HANDED_OVER):
        move_job(who=who, job=job, state=state, seen_version=job.edit_version)
        job.refresh_from_db()
    timed, today = timed_of(job), timezone.localdate()
    planned = counts_of_record(timed.record)
    for ago, operation, minutes, finishes, note in ENTRIES:
        if operation not in planned:
            continue
        slip = (ago, operation) == SLIP
        written = TimeFacts(
            operation, minutes * 10 if slip else minutes, today - timedelta(days=ago), finishes, None, who, note
        )
        entry = log_time(who=who, key=timed.key, label=timed.label, facts=written, planned=planned)
        if slip:
            mended = TimeFacts(operation, minutes, written.on, finishes, None, who, note)
            mend_time(who=who, entry=entry, facts=mended, planned=planned)
    _mended(who, job)


def _mended(who: Member, lantern: Job) -> None:
    """A corner of it that came loose, mended against the reserve for boards lost."""
    today = timezone.localdate()
    due = today + timedelta(days=12)
    facts = JobFacts("A loose corner of the first lantern", Job.Kind.REPAIR, due=due, of=lantern, settled="reserve")
    job = make_job(who=who, facts=facts)
    move_job(who=who, job=job, state=Job.State.UNDER_WAY, seen_version=job.edit_version)
    timed = timed_of(job)
    worked = TimeFacts("strip", 25, today - timedelta(days=2), True, None, who, "the old glue scraped off first")
    log_time(who=who, key=timed.key, label=timed.label, facts=worked, planned={})
