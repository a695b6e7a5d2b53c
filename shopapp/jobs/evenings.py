"""The evenings of a job: which timetable counts for it, and what becomes of what is booked once it is over or made
otherwise."""

from __future__ import annotations

from planner.errors import PlannerError
from shopapp.plans.models import KeptTimetable
from shopapp.plans.timetable.booking import give_up
from shopapp.plans.timetable.standing import DRY, ticked_of

from .models import Job

# Timetables kept since a job's own; among them may be one it is made by together with others.
MOST_LATER = 60
_IN_HAND = (Job.State.PLANNED, Job.State.UNDER_WAY)


def keys_before(job: Job) -> tuple[str, ...]:
    """What was kept for the bare plan before counts for the first job made of it. One query."""
    older = Job.objects.filter(plan=job.plan, pk__lt=job.pk).exists()
    return () if older else (f"plan {job.plan_id}",)


def timetable_of(job: Job) -> tuple[KeptTimetable | None, int]:
    """The timetable that counts for a job, and the number its board has there: its own newest one of its plan, or one
    that was kept since for others with which it is made. Three queries, and one where it is made with others."""
    keys = (job.key, *keys_before(job))
    own = KeptTimetable.objects.filter(key__in=keys, plan=job.plan_id).first()
    since = KeptTimetable.objects.exclude(key__in=keys).filter(pk__gt=own.pk if own else 0)
    newest: set[str] = set()
    for pk, key, boards in since.values_list("pk", "key", "boards")[:MOST_LATER]:
        if key not in newest:
            newest.add(key)
            here = (n for n, one in enumerate(boards, start=1) if (one["key"], one["plan"]) == (job.key, job.plan_id))
            if (number := next(here, 0)) > 1:
                return KeptTimetable.objects.get(pk=pk), number
    return own, 1


def nothing_ticked(job: Job) -> None:
    """Raises PlannerError where steps are ticked by the plan it has: they would be of another board."""
    if any(not step.endswith(DRY) for step in ticked_of((job.key, *keys_before(job)))):
        raise PlannerError(
            "Steps of it are ticked, and they are its plan’s.",
            mend="Take the ticks back, or call it off and write the other board down as a job of its own.",
            field="plan",
        )


def free_evenings(job: Job, plan: int | None) -> str:
    """What is booked for it from today on is free again; said in a sentence where there was any. ``plan`` is the one
    its timetable was kept for. Part of the transaction that ends or changes it."""
    first_of_it = plan is not None and not Job.objects.filter(plan=plan, pk__lt=job.pk).exists()
    keys = [job.key, *([f"plan {plan}"] * first_of_it)]
    return "Its evenings are free again." if give_up(keys, job.label, _in_hand) else ""


def _in_hand(keys: list[str]) -> set[str]:
    pks = [key.removeprefix("job ") for key in keys if key.startswith("job ")]
    return {job.key for job in Job.objects.filter(pk__in=pks, state__in=_IN_HAND)}
