"""The stages' door to the planner: which stage a step belongs to, in the order of the work, and what rests between."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from planner.gluing.bench import STAGE_OF
from shopapp.jobs.tonight.planning import opened_form
from shopapp.plans.timetable.planning import moment
from shopapp.schedule.planning import SLOT_MINUTES

CUT = STAGE_OF["cut"]
HANDED_OVER = STAGE_OF["carrier"]
STAGES = tuple(dict.fromkeys(STAGE_OF.values()))
# Stages in which nobody does anything: what they are called, by the stage they come after.
RESTS = {
    STAGE_OF["rough"]: "rested",
    STAGE_OF["panel"]: "glue of panels cured",
    STAGE_OF["border"]: "glue cured",
    STAGE_OF["coat"]: "cured",
}
# Of boards without borders the glue sets after they are joined.
_INSTEAD = {STAGE_OF["border"]: (STAGE_OF["join"], STAGE_OF["row"])}


def stage_of_key(key: str) -> str:
    """The stage a step's key names ("1/row/7"), "" where it names none.

    >>> stage_of_key("2.3/flatten/1"), stage_of_key("1/elsewhere")
    ('flattened', '')
    """
    return STAGE_OF.get(key.split("/")[1], "") if "/" in key else ""


@dataclass(frozen=True)
class Rest:
    """A time in which nobody does anything: ``name`` comes after the stage ``after``. ``minutes`` are by the steps it
    begins with, from when hands left them; ``then`` are the steps that wait for it. What went on when the rest was
    planned again ``ends`` when that timetable says."""

    name: str
    after: str
    minutes: Mapping[str, int]
    then: frozenset[str]
    ends: tuple[datetime, ...] = ()

    def over(self, ticked: Mapping[str, datetime]) -> datetime | None:
        """When it is over, by the hours that pass; None while a step it begins with is not ticked."""
        if not all(key in ticked for key in self.minutes):
            return None
        begun = (ticked[key] + timedelta(minutes=minutes) for key, minutes in self.minutes.items())
        return max((*begun, *self.ends), default=None)


def rests_in(form: str, first_day: date, board: int) -> list[Rest]:
    """Those of a timetable's board, whose slots are from the midnight of ``first_day`` on: where what comes later may
    not begin when hands are off what comes before, and what has to cure at the end."""
    found = opened_form(form)
    steps, tasks = found.steps, found.work.tasks
    links = [
        (link, steps[link.first], steps[link.then])
        for link in found.work.links
        if steps[link.first].board == board
        and link.lag > tasks[link.first].span
        and _place(steps[link.then]) > _place(steps[link.first])
    ]
    # What comes next is what a rest is for; sanding may wait longer for the glue than flattening does.
    soonest: dict[str, int] = {}
    for _, first, second in links:
        soonest[first.stage] = min(_place(second), soonest.get(first.stage, len(STAGES)))
    waits: dict[str, dict[str, int]] = {}
    ends: dict[str, list[datetime]] = {}
    then: dict[str, set[str]] = {}
    for link, first, second in links:
        if _place(second) == soonest[first.stage]:
            of_stage = waits.setdefault(first.stage, {})
            if first.running:
                ends.setdefault(first.stage, []).append(timezone.make_aware(moment(first_day, link.lag)))
                continue
            minutes = (link.lag - tasks[link.first].attended) * SLOT_MINUTES
            of_stage[first.key] = max(of_stage.get(first.key, 0), minutes)
            then.setdefault(first.stage, set()).add(second.key)
    for step, task in zip(steps, tasks, strict=True):
        if task.rest and step.running and step.board == board:
            waits.setdefault(step.stage, {})
            ends.setdefault(step.stage, []).append(timezone.make_aware(moment(first_day, task.span + task.rest)))
        elif task.rest and step.board == board:
            waits.setdefault(step.stage, {})[step.key] = (task.hold + task.rest) * SLOT_MINUTES
    rests = []
    for stage, name in RESTS.items():
        after = next((one for one in (stage, *_INSTEAD.get(stage, ())) if one in waits), None)
        if after is not None:
            rests.append(Rest(name, after, waits[after], frozenset(then.get(after, ())), tuple(ends.get(after, ()))))
    return rests


def _place(step) -> int:
    return STAGES.index(step.stage)
