"""What the page of all jobs shows: its list, and beside each what the season makes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from shopapp.jobs.models import Job
from shopapp.jobs.readers import MOST_CLOSED, MOST_OPEN, JobLine, lines_of

from . import judging, planning, words
from .asked import MENDED, Asked, asked
from .forms import STATES

CLOSED = STATES["closed"][1]


def lines(kind: str, state: str, today: date) -> list[JobLine]:
    """Jobs of a kind and a state by date; what is over, the newest first. Two queries."""
    jobs = Job.objects.filter(state__in=STATES[state][1])
    if kind:
        jobs = jobs.filter(kind=kind)
    if state == "closed":
        return lines_of(list(jobs.order_by("-changed_at", "-pk")[:MOST_CLOSED]), today)
    return lines_of(list(jobs[:MOST_OPEN]), today)


@dataclass(frozen=True)
class Told:
    """What the season makes of a job: its ``state`` (late, at risk, in time, no day), the days it is likely and at
    careful minutes ready on, what holds it up and what would mend it; or why it is left out of the sum."""

    state: str
    likely: date | None = None
    careful: date | None = None
    reason: str = ""
    mends: Sequence[str] = ()
    left_out: str = ""


@dataclass(frozen=True)
class Season:
    """All jobs in hand judged together: by a job's key what is told of it; ``heading`` says how many are late and at
    risk, ``by`` a day and ``fits`` how many boards fit before it. ``goes_by`` is what was reckoned with."""

    told: dict[int, Told]
    heading: str
    by: date | None
    asked: Asked
    judged: judging.Judged
    goes_by: list[str]
    labels: dict[int, str]

    def fits(self, by: date) -> list[str]:
        return words.fitting_words(self.asked.fitting(by), self.asked, self.labels, self.judged.copies, by)


def season_of(now: datetime) -> Season:
    """A fixed number of queries, one more where it has to be reckoned."""
    jobs = list(Job.objects.filter(state__in=STATES[""][1])[:MOST_OPEN])
    seen = asked(jobs, now)
    labels = {job.pk: job.label for job in jobs}
    judged = seen.judged() if seen.shop.sessions else None
    told = {}
    for job in jobs:
        left_out = _left_out(job, seen, judged)
        if left_out or judged is None:
            told[job.pk] = Told("", left_out=left_out)
        elif job.pk in judged.finishes:
            told[job.pk] = _told(job, seen, judged, labels)
    dues = [job.due for job in seen.jobs if job.due and job.due >= seen.first]
    return Season(
        told,
        _heading(told, jobs),
        max(dues, default=None),
        seen,
        judged or judging.Judged(seen.first, {}, {}, {}, {}, [], {}, {}, True),
        _goes_by(seen, judged),
        labels,
    )


def _left_out(job: Job, seen: Asked, judged: judging.Judged | None) -> str:
    """Why nothing is told of it."""
    if job.state == Job.State.FINISHED:
        return "Finished: nothing is left to make."
    if job.kind in MENDED:
        return "Left out of the sum: a plan says what a whole board takes, not what is mended of one."
    if job.plan_id is None:
        return "Left out of the sum: it has no plan, so nobody knows what it takes."
    if job in seen.over:
        return f"Left out of the sum: {len(seen.jobs)} jobs are due before it."
    if judged is None:
        return "Left out of the sum: nobody is in the shop in these weeks. Write down the hours of a week."
    if job.pk in judged.refused:
        return f"Left out of the sum: {judged.refused[job.pk]}"
    return ""


def _told(job: Job, seen: Asked, judged: judging.Judged, labels: dict[int, str]) -> Told:
    likely, careful = judged.finishes[job.pk], judged.careful[job.pk]
    due = None if job.due is None else planning.due_slot(seen.first, job.due)
    state = words.state_of(likely, careful, due)
    troubled = state in (words.LATE, words.AT_RISK)
    held = judged.held.get(job.pk)
    reason = words.reason(held, labels) if troubled and held else ""
    if likely is None:
        reason = "The free hours of the next 26 weeks end before it is done."
    if job.due and job.due < seen.first:
        mends = ["Its day is past. Agree on another."]
    else:
        mends = words.mends(job.pk, seen, judged, labels) if troubled else []
    return Told(state, _day(seen.first, likely), _day(seen.first, careful), reason, mends)


def _day(first: date, finish: int | None) -> date | None:
    return None if finish is None else planning.ready_day(first, finish)


def _heading(told: dict[int, Told], jobs: Sequence[Job]) -> str:
    states = [one.state for one in told.values()]
    late, risk = states.count(words.LATE), states.count(words.AT_RISK)
    counted = sum(bool(state) for state in states)
    if not counted:
        return "No job in hand could be planned."
    if not late and not risk:
        unknown = sum(bool(job.due and told[job.pk].left_out and job.state != Job.State.FINISHED) for job in jobs)
        if not unknown:
            return "Every job that has a day is in time, at the careful estimate too."
        besides = "one that has a day" if unknown == 1 else f"{words.number(unknown)} that have a day"
        return f"What could be planned is in time, at the careful estimate too; {besides} could not be."
    told_of = [
        f"{words.number(many)} {'is' if many == 1 else 'are'} {what}"
        for many, what in ((late, "late"), (risk, "at risk"))
        if many
    ]
    if counted == 1:
        return f"The one job that could be planned {told_of[0].removeprefix('one ')}."
    return f"Of {words.number(counted)} jobs planned together {words.listed(told_of)}."


def _goes_by(seen: Asked, judged: judging.Judged | None) -> list[str]:
    """What the finishes were reckoned with, a sentence each."""
    if judged is None:
        return []
    how = (
        "The careful one gives every step the minutes that are enough for four jobs in five."
        if judged.stretched
        else "Some step has no session that takes it at careful minutes: what is more by care was added in free hours "
        "at the end."
    )
    return [
        "All jobs that are not finished and have a plan are made together by the rules of gluing up, what is due first "
        "before, in the hours of the next 26 weeks that nothing else is booked in. Evenings booked for these jobs are "
        "planned anew; what is ticked is done.",
        f"The likely finish goes by your usual minutes. {how}",
        f"With {seen.shop.adhesive.name} and {seen.shop.finish.name}. Wood is bought and settles first, unless some of "
        "it was taken for the job or its timetable says that it is here.",
        "A job is late where its likely finish is after its day, at risk where only the careful one is. The last day "
        "counts until midnight. Finishes are found by rules; a job’s own timetable looks longer for a sooner one.",
    ]
