"""Whether a timetable can be lived by: every slot of it looked at, with nothing of the planner's own sums.

The plain way: a row of slots for hands and for everything used, filled task by task and then looked over.
"""

from __future__ import annotations

from collections import defaultdict

from planner.gluing.terms import HANDS, Timetable, Work


def faults_of(timetable: Timetable, work: Work) -> tuple[str, ...]:
    """Every fault in plain sentences, none for a sound timetable."""
    faults = []
    if len(timetable.starts) != len(work.tasks):
        return ("There are not as many starts as tasks.",)
    taken: dict[str, defaultdict[int, int]] = {}
    last = 0
    for task, start in zip(work.tasks, timetable.starts, strict=True):
        hands_until, free_from = start + task.attended, start + task.attended + task.hold
        last = max(last, free_from + task.rest)
        if start < 0:
            faults.append(f"{task.name} starts before the beginning.")
        if task.attended and not any(opens <= start and hands_until <= closes for opens, closes in work.sessions):
            faults.append(f"{task.name} starts at {start} and is not within one session.")
        for what, many, until in ((HANDS, 1, hands_until), *((what, many, free_from) for what, many in task.uses)):
            row = taken.setdefault(what, defaultdict(int))
            for slot in range(start, until):
                row[slot] += many
    for what, row in taken.items():
        over = [slot for slot, many in row.items() if many > work.capacity.get(what, 0)]
        if over:
            faults.append(f"At {min(over)} more of {what} is used than there is.")
    for link in work.links:
        if timetable.starts[link.then] < timetable.starts[link.first] + link.lag:
            faults.append(f"{work.tasks[link.then].name} starts too soon after {work.tasks[link.first].name}.")
    if timetable.finish != last:
        faults.append(f"The finish is {last}, not {timetable.finish}.")
    return tuple(faults)
