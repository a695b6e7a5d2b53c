"""Whether a timetable can be lived by: every slot of it looked at, with nothing of the planner's own sums.

The plain way: for hands and for everything used, how much more or less of it is taken from each slot on, written down
task by task and then added up from the first slot to the last.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import accumulate

from planner.gluing.terms import HANDS, Timetable, Work


def faults_of(timetable: Timetable, work: Work) -> tuple[str, ...]:
    """Every fault in plain sentences, none for a sound timetable."""
    faults = []
    if len(timetable.starts) != len(work.tasks):
        return ("There are not as many starts as tasks.",)
    # Between two of these slots as much is taken as at the first of them.
    changes: dict[str, defaultdict[int, int]] = {}
    last = 0
    for task, start in zip(work.tasks, timetable.starts, strict=True):
        hands_until, free_from = start + task.attended, start + task.attended + task.hold
        last = max(last, free_from + task.rest)
        if start < 0:
            faults.append(f"{task.name} starts before the beginning.")
        if task.attended and not any(opens <= start and hands_until <= closes for opens, closes in work.sessions):
            faults.append(f"{task.name} starts at {start} and is not within one session.")
        for what, many, until in ((HANDS, 1, hands_until), *((what, many, free_from) for what, many in task.uses)):
            row = changes.setdefault(what, defaultdict(int))
            row[start] += many
            row[until] -= many
    for what, row in changes.items():
        slots = sorted(row)
        taken = accumulate(row[slot] for slot in slots)
        over = next((slot for slot, many in zip(slots, taken, strict=True) if many > work.capacity.get(what, 0)), None)
        if over is not None:
            faults.append(f"At {over} more of {what} is used than there is.")
    for link in work.links:
        if timetable.starts[link.then] < timetable.starts[link.first] + link.lag:
            faults.append(f"{work.tasks[link.then].name} starts too soon after {work.tasks[link.first].name}.")
    if timetable.finish != last:
        faults.append(f"The finish is {last}, not {timetable.finish}.")
    return tuple(faults)
