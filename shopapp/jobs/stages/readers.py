"""How far a job has come, a line a stage, from the steps that are ticked and the cuts that are."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.jobs.making import keys_before, timetable_of
from shopapp.jobs.models import Job
from shopapp.jobs.tonight.planning import facts_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import newest_sheet, standing_of
from shopapp.plans.timetable.standing import DRY, number_of, own_step, ticked_of

from .planning import CUT, STAGES, stage_of_key


@dataclass(frozen=True)
class Stage:
    """``done`` of ``steps``; ``cuts`` and ``cut`` are rough lengths where a cut plan is kept, of one stage alone."""

    name: str
    done: int
    steps: int
    is_next: bool = False
    cut: int = 0
    cuts: int = 0

    @property
    def is_done(self) -> bool:
        return self.done == self.steps and self.cut == self.cuts

    @property
    def words(self) -> str:
        if self.is_done:
            return "done"
        counted = f", {self.done} of {self.steps} steps" if self.done else ""
        return f"{'next' if self.is_next else 'waited for'}{counted}"


def stages_of(job: Job) -> list[Stage]:
    """Of the newest timetable and cut plan; empty where neither is kept. Eight queries at most, none without a
    plan."""
    if job.plan_id is None:
        return []
    kept, number = timetable_of(job)
    keys = (job.key, *keys_before(job))
    ticked = {step for step in ticked_of(keys) if not step.endswith(DRY) and number_of(step) == 1}
    # What was ticked before the rest was planned anew stands in no newer timetable.
    stage = {step: stage_of_key(step) for step in ticked}
    if kept is not None:
        its = {key: one.step.stage for key, one in facts_of(kept.form).items() if one.step.board == number}
        stage |= {own_step(key, kept.boards, job.key)[1]: name for key, name in its.items()}
    cut, cuts = _cuts(job)
    found, waits = [], False
    for name in STAGES:
        steps = [key for key, its in stage.items() if its == name]
        sawn = (cut, cuts) if name == CUT else (0, 0)
        if not steps and not sawn[1]:
            continue
        one = Stage(name, len(ticked.intersection(steps)), len(steps), False, *sawn)
        if not one.is_done and not waits:
            one, waits = Stage(name, one.done, one.steps, True, *sawn), True
        found.append(one)
    return found


def _cuts(job: Job) -> tuple[int, int]:
    """Rough lengths ticked, and all of them. Two queries at most."""
    sheet = newest_sheet(job.key, job.plan_id)
    if sheet is None:
        return 0, 0
    every = {(board.mark, one.number) for board in laid_out(sheet.form).boards for one in board.ticks}
    return len(every & standing_of(sheet).cuts.keys()), len(every)
