"""What the cut plan and the evenings of a job say of its cuts, held together: a rough length that is ticked was milled,
ripped and crosscut, and evenings that say all is crosscut have cut every one."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from django.urls import reverse

from shopapp.jobs.evenings import keys_before, timetable_of
from shopapp.jobs.models import Job
from shopapp.jobs.tonight.made import Made
from shopapp.jobs.tonight.planning import facts_of
from shopapp.plans.agreeing import Unlike
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import Standing, newest_sheet, standing_of, standings_of
from shopapp.plans.models import CutSheet
from shopapp.plans.timetable.standing import number_of, own_step, ticked_of

# Steps that are done where every rough length is ripped and crosscut, in the order of the work.
SAWN = ("rough", "rip", "gauge", "cut")


def unlike_of(job: Job) -> Unlike | None:
    """Of a job under way; None where both say the same, or one of them is not kept. Six queries at most."""
    if job.plan_id is None or job.state != Job.State.UNDER_WAY:
        return None
    sheet = newest_sheet(job.key, job.plan_id)
    kept, number = timetable_of(job) if sheet is not None else (None, 1)
    if sheet is None or kept is None:
        return None
    steps = {
        own_step(key, kept.boards, job.key)[1]: one.step.words
        for key, one in facts_of(kept.form).items()
        if one.step.board == number
    }
    ticked = {step for step in ticked_of((job.key, *keys_before(job))) if number_of(step) == 1}
    return _held_together(job.key, job.label, steps, ticked, sheet, standing_of(sheet))


@dataclass(frozen=True)
class Sawing:
    """Of all that is made tonight: what the two say ``unlike``, and by the key of a board how far its cut plan is."""

    unlike: list[Unlike]
    said: Mapping[str, str]


def sawing_of(begun: Sequence[Made]) -> Sawing:
    """Three queries, none where nothing is begun."""
    wanted = {
        board["key"]: (board["plan"], made, number)
        for made in begun
        for number, board in enumerate(made.boards, start=1)
        if number not in made.elsewhere and board["key"].startswith("job ")
    }
    found, said = [], {}
    for sheet, standing in _standings(wanted):
        plan, made, number = wanted[sheet.key]
        if sheet.plan_id != plan:
            continue
        keys = {key: own_step(key, made.boards, made.job.key)[1] for key in (*made.facts, *made.ticked)}
        steps = {keys[key]: one.step.words for key, one in made.facts.items() if one.step.board == number}
        ticked = {keys[key] for key in made.ticked if number_of(key) == number}
        if one := _held_together(sheet.key, made.board(number)["label"], steps, ticked, sheet, standing):
            found.append(one)
        said[sheet.key] = _so_far(sheet, standing)
    return Sawing(found, said)


def _standings(keys: Collection[str]) -> list[tuple[CutSheet, Standing]]:
    if not keys:
        return []
    newest: dict[str, int] = {}
    for pk, key in CutSheet.objects.filter(key__in=keys).order_by("-pk").values_list("pk", "key"):
        newest.setdefault(key, pk)
    if not newest:
        return []
    return standings_of(list(CutSheet.objects.filter(pk__in=newest.values()).order_by("pk")))


def _held_together(
    key: str, label: str, steps: Mapping[str, str], ticked: Collection[str], sheet: CutSheet, standing: Standing
) -> Unlike | None:
    open_cuts = {
        board.mark: left
        for board in laid_out(sheet.form).boards
        if (left := tuple(one.name for one in board.ticks if (board.mark, one.number) not in standing.cuts))
    }
    left = [(step, words) for step, words in steps.items() if _kind(step) in SAWN and step not in ticked]
    to = reverse("jobs:agree", args=[key.removeprefix("job ")])
    if not open_cuts and left:
        return Unlike(label, to, steps=left)
    crosscut = any(_kind(step) == "cut" for step in ticked) and all(_kind(step) != "cut" for step, _ in left)
    return Unlike(label, to, cuts=list(open_cuts.items())) if open_cuts and crosscut else None


def _kind(step: str) -> str:
    return step.split("/")[1] if "/" in step else ""


def _so_far(sheet: CutSheet, standing: Standing) -> str:
    ticks = {(board.mark, one.number) for board in laid_out(sheet.form).boards for one in board.ticks}
    return f"{len(ticks & set(standing.cuts))} of {len(ticks)} rough lengths are ticked on its cut plan."
