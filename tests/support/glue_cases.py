"""Glue-ups of every kind that never were, drawn by chance: unlike boards together, odd weeks, holidays, few clamps.

What differs from case to case is what differs from shop to shop: sizes, how long glue is clamped and cures, who is
there and when, how many jigs, clamps and places there are, a blank made in halves, oil that has to be wiped soon.
"""

from __future__ import annotations

import random
from itertools import pairwise

from planner.gluing import Link, Task, Work
from tests.support.glue_works import slots

DAY = 24 * 12
_SIDES = (6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32)


def case(seed: int, boards: int | None = None) -> Work:
    """The case with this number; ``boards`` says how many boards it has, else one to four."""
    rng = random.Random(seed)
    many = boards or rng.randint(1, 4)
    tasks: list[Task] = []
    links: list[Link] = []
    row_clamps = rng.choice((2, 3, 3, 4))
    glue = (rng.choice((20, 30, 30, 45, 60)), rng.choice((30, 45, 45, 60, 90)), rng.choice((12, 24, 24, 24, 48)))
    for board in range(many):
        rows, columns = rng.choice(_SIDES), rng.choice(_SIDES)
        _Board(board, rows, columns, tasks, links, glue, row_clamps, rng).build(halves=rng.random() < 0.25)
    capacity = {
        "hands": rng.choice((1, 1, 2)),
        "jig": rng.choice((1, 1, 2, 2, 3)),
        "row_clamps": rng.randint(6, 14),
        "long_clamps": rng.randint(6, 14),
        "bench": rng.choice((1, 2, 2, 3)),
    }
    return Work(tuple(tasks), tuple(links), capacity, _weeks(rng, tasks), 5)


def _weeks(rng: random.Random, tasks: list[Task]) -> tuple[tuple[int, int], ...]:
    """Sessions by weekday, now and then two a day; holidays and evenings that fell through are left out."""
    longest = max(task.attended for task in tasks)
    by_day: list[list[tuple[int, int]]] = []
    for weekday in range(7):
        day: list[tuple[int, int]] = []
        if weekday < 5 and rng.random() < 0.75:
            begins, hours = rng.choice((18, 19, 19, 20)), rng.choice((1.5, 2, 3, 3))
            day.append((int(begins * 12), int((begins + hours) * 12)))
        if weekday >= 5 and rng.random() < 0.6:
            begins = rng.choice((8, 9, 10))
            day.append((begins * 12, begins * 12 + rng.choice((36, 48))))
            if rng.random() < 0.5:
                day.append((14 * 12, 14 * 12 + rng.choice((36, 48))))
        by_day.append(day)
    if not any(closes - opens >= longest for day in by_day for opens, closes in day):
        by_day[5] = [(9 * 12, 9 * 12 + max(longest, 96))]
    hands = sum(task.attended for task in tasks)
    found: list[tuple[int, int]] = []
    left = 6 * hands
    week = 0
    while left > 0 or week < 10:
        off = rng.random() < 0.05
        for weekday, day in enumerate(by_day):
            if off or rng.random() < 0.06:
                continue
            for opens, closes in day:
                midnight = (7 * week + weekday) * DAY
                found.append((midnight + opens, midnight + closes))
                left -= closes - opens
        week += 1
    return tuple(found)


class _Board:
    def __init__(
        self,
        number: int,
        rows: int,
        columns: int,
        tasks: list[Task],
        links: list[Link],
        glue: tuple[int, int, int],
        row_clamps: int,
        rng: random.Random,
    ) -> None:
        self.number, self.rows, self.columns = number, rows, columns
        self.tasks, self.links, self.rng = tasks, links, rng
        self.row_hold, self.join_hold, self.cure_hours = glue
        self.row_clamps = row_clamps
        self.pressed = {"long_clamps": 4 if columns <= 16 else 5 if columns <= 24 else 6, "bench": 1}
        self.across = rng.choice((3, 4, 5))

    def add(self, name: str, minutes: float, hold: float = 0, uses: dict[str, int] | None = None, rest: int = 0) -> int:
        self.tasks.append(Task(name, self.number, slots(minutes), slots(hold), tuple((uses or {}).items()), rest))
        return len(self.tasks) - 1

    def follows(self, first: int, then: int, more: float = 0) -> None:
        self.links.append(Link(first, then, self.tasks[first].span + slots(more)))

    def build(self, *, halves: bool) -> None:
        cells = self.rows * self.columns
        cut_all = 15 + self.rng.choice((0.2, 0.25, 0.3)) * cells
        lots = max(1, -(-round(cut_all) // 60))
        cuts = [self.add(f"cut{i}", cut_all / lots) for i in range(lots)]
        for one, other in pairwise(cuts):
            self.follows(one, other)
        per_joint = self.rng.choice((0.2, 0.25, 0.3))
        row_uses = {"jig": 1, "row_clamps": self.row_clamps}
        rows = []
        for r in range(self.rows):
            row = self.add(f"row{r}", 3 + per_joint * (self.columns - 1), self.row_hold, row_uses)
            self.follows(cuts[r * lots // self.rows], row)
            rows.append(row)
        if halves:
            middle = self.rows // 2
            parts = [self._flat(self._joined(some, k), k) for k, some in enumerate((rows[:middle], rows[middle:]))]
            before = self.add("halves", 20, 2 * self.join_hold, self.pressed)
            for part in parts:
                self.follows(part, before)
        else:
            before = self._joined(rows, 0)
        before = self._borders(before, halves=halves)
        self._finish(before)

    def _joined(self, rows: list[int], part: int) -> int:
        level, these = 1, rows
        while len(these) > 1:
            groups = -(-len(these) // self.across)
            joined = []
            for n in range(groups):
                several = these[n * len(these) // groups : (n + 1) * len(these) // groups]
                if len(several) == 1:
                    joined.append(several[0])
                    continue
                join = self.add(f"join{part}_{level}_{n}", 6 + 2 * (len(several) - 1), self.join_hold, self.pressed)
                for one in several:
                    self.follows(one, join)
                joined.append(join)
            these, level = joined, level + 1
        return these[0]

    def _flat(self, before: int, part: int) -> int:
        flat = self.add(f"flat{part}", 30)
        self.follows(before, flat, self.cure_hours * 60)
        return flat

    def _borders(self, before: int, *, halves: bool) -> int:
        for i in range(self.rng.choice((0, 1, 2))):
            sides = self.add(f"sides{i}", 10, self.join_hold, self.pressed)
            self.follows(before, sides)
            before = sides
        for name, minutes, hold, uses, wait in (
            ("true", 15, 0, None, 30),
            ("topbottom", 15, self.join_hold, self.pressed, 0),
            ("flatten", 30 if halves else 60, 0, None, self.cure_hours * 60),
            ("edges", 30, 0, None, 0),
        ):
            task = self.add(name, minutes, hold, uses)
            self.follows(before, task, wait)
            before = task
        return before

    def _finish(self, before: int) -> None:
        dm2 = 2 * (self.rows * 0.25 + 1) * (self.columns * 0.25 + 1)
        sand_all = 2.5 * dm2
        lots = max(1, -(-round(sand_all) // 60))
        for i in range(lots):
            sand = self.add(f"sand{i}", sand_all / lots)
            self.follows(before, sand)
            before = sand
        cure = self.rng.choice((0, 72, 72, 24 * 7)) * 12
        coats = self.rng.choice((1, 1, 2, 3))
        for coat in range(coats):
            oil = self.add(f"oil{coat}", 5 + 0.4 * dm2, self.rng.choice((20, 30)), {"bench": 1})
            self.follows(before, oil, 0 if not coat else self.rng.choice((8, 12, 24)) * 60)
            buff = self.add(f"buff{coat}", 15, rest=cure if coat == coats - 1 else 0)
            self.follows(oil, buff)
            # Wiped off before it turns sticky.
            self.links.append(Link(buff, oil, -(self.tasks[oil].attended + slots(self.rng.choice((45, 60, 90))))))
            before = buff
