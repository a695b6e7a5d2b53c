"""How far a job has come, a line a stage, from the steps that are ticked, the cuts that are, and hours
that pass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format

from shopapp.jobs.actions import DONE
from shopapp.jobs.evenings import keys_before, timetable_of
from shopapp.jobs.models import Job
from shopapp.jobs.tonight.planning import facts_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import newest_sheet, standing_of
from shopapp.plans.timetable.standing import DRY, number_of, own_step, ticked_of

from .planning import CUT, HANDED_OVER, STAGES, Rest, rests_in, stage_of_key


@dataclass(frozen=True)
class Stage:
    """``done`` of ``steps``; ``cuts`` and ``cut`` are rough lengths where a cut plan is kept, of one stage alone.
    ``until`` is when what rests by itself is over, where that has begun and is not."""

    name: str
    done: int
    steps: int
    is_next: bool = False
    cut: int = 0
    cuts: int = 0
    until: datetime | None = None

    @property
    def is_done(self) -> bool:
        return self.done == self.steps and self.cut == self.cuts

    @property
    def words(self) -> str:
        if self.is_done:
            return "done"
        if self.until is not None:
            return f"until {date_format(timezone.localtime(self.until), 'D j M, H:i')}"
        counted = f", {self.done} of {self.steps} steps" if self.done else ""
        return f"{'next' if self.is_next else 'waited for'}{counted}"


def stages_of(job: Job) -> list[Stage]:
    """Of the newest timetable and cut plan; empty where neither is kept. Eight queries at most, none without a
    plan."""
    if job.plan_id is None:
        return []
    kept, number = timetable_of(job)
    keys = (job.key, *keys_before(job))
    done = ticked_of(keys)
    ticked = {step: at for step, at in done.items() if not step.endswith(DRY) and number_of(step) == 1}
    # What was ticked before the rest was planned anew stands in no newer timetable.
    stage = {step: stage_of_key(step) for step in ticked}
    rests: dict[str, Rest] = {}
    if kept is not None:
        rests = {one.after: one for one in rests_in(kept.form, kept.first, number)}
        its = {key: one.step.stage for key, one in facts_of(kept.form).items() if one.step.board == number}
        stage |= {own_step(key, kept.boards, job.key)[1]: name for key, name in its.items()}
    cut, cuts = _cuts(job)
    found: list[Stage] = []
    for name in STAGES:
        steps = [key for key, its in stage.items() if its == name]
        sawn = (cut, cuts) if name == CUT else (0, 0)
        if (steps or sawn[1]) and name != HANDED_OVER:
            found.append(Stage(name, len(ticked.keys() & set(steps)), len(steps), False, *sawn))
        if name in rests:
            found.append(_rest(rests[name], ticked, kept.boards, job))
    if found and (kept is not None or job.state in DONE):
        found.append(Stage(HANDED_OVER, int(job.state == Job.State.HANDED_OVER), 1))
    at = next((n for n, one in enumerate(found) if not one.is_done), None)
    return [replace(one, is_next=n == at) for n, one in enumerate(found)]


def _rest(rest: Rest, ticked: Mapping[str, datetime], boards: Sequence[Mapping], job: Job) -> Stage:
    """Done once its time is over, or what waits for it was begun."""
    begins = {own_step(key, boards, job.key)[1]: minutes for key, minutes in rest.minutes.items()}
    over = replace(rest, minutes=begins).over(ticked)
    begun = any(own_step(key, boards, job.key)[1] in ticked for key in rest.then)
    done = begun or (over is not None and over <= timezone.now())
    return Stage(rest.name, int(done), 1, until=None if done else over)


def _cuts(job: Job) -> tuple[int, int]:
    """Rough lengths ticked, and all of them. Two queries at most."""
    sheet = newest_sheet(job.key, job.plan_id)
    if sheet is None:
        return 0, 0
    every = {(board.mark, one.number) for board in laid_out(sheet.form).boards for one in board.ticks}
    return len(every & standing_of(sheet).cuts.keys()), len(every)
