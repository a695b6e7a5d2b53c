"""The work of gluing up boards, as task graphs for tests: cut, rows, joins, borders, truing, sanding, oil.

Times in slots of five minutes are assumptions to measure by, not facts. Sessions are evenings from Monday to Friday,
seven to ten, and Saturday from nine to five.
"""

from __future__ import annotations

from itertools import pairwise

from planner.gluing import Link, Task, Work

SLOT = 5
CURE = 3 * 24 * 60 // SLOT


def sessions(weeks: int) -> tuple[tuple[int, int], ...]:
    day = 24 * 60 // SLOT
    found = []
    for week in range(weeks):
        for weekday in range(6):
            begins, ends = (9, 17) if weekday == 5 else (19, 22)
            midnight = (7 * week + weekday) * day
            found.append((midnight + begins * 60 // SLOT, midnight + ends * 60 // SLOT))
    return tuple(found)


def slots(minutes: float) -> int:
    return -(-round(minutes * 100) // (SLOT * 100))


def boards(side: int, count: int = 1, jigs: int = 1, hands: int = 1, weeks: int = 10) -> Work:
    """``count`` boards of ``side`` by ``side`` tiles of 25 mm."""
    tasks: list[Task] = []
    links: list[Link] = []
    for board in range(count):
        _one(side, board, tasks, links)
    capacity = {"hands": hands, "jig": jigs, "row_clamps": 12, "long_clamps": 10, "bench": 2}
    return Work(tuple(tasks), tuple(links), capacity, sessions(weeks), SLOT)


def _one(side: int, board: int, tasks: list[Task], links: list[Link]) -> None:
    def add(name: str, minutes: float, hold: float = 0, uses: dict[str, int] | None = None, rest: int = 0) -> int:
        tasks.append(Task(name, board, slots(minutes), slots(hold), tuple((uses or {}).items()), rest))
        return len(tasks) - 1

    def follows(first: int, then: int, more: float = 0) -> None:
        links.append(Link(first, then, tasks[first].span + slots(more)))

    pressed = {"long_clamps": 5, "bench": 1}
    cut_all = 20 + 0.25 * side * side
    lots = max(1, -(-round(cut_all * 100) // 6000))
    cuts = [add(f"cut{i}", cut_all / lots) for i in range(lots)]
    for one, other in pairwise(cuts):
        follows(one, other)
    rows = []
    for r in range(side):
        row = add(f"row{r}", 3 + 0.25 * (side - 1), 30, {"jig": 1, "row_clamps": 3})
        follows(cuts[r * lots // side], row)
        rows.append(row)
    level, part = 1, rows
    while len(part) > 1:
        joined = []
        groups = -(-len(part) // 4)
        for n in range(groups):
            several = part[n * len(part) // groups : (n + 1) * len(part) // groups]
            if len(several) == 1:
                joined.append(several[0])
                continue
            join = add(f"join{level}_{n}", 6 + 2 * (len(several) - 1), 45, pressed)
            for one in several:
                follows(one, join)
            joined.append(join)
        part, level = joined, level + 1
    before = part[0]
    for i in range(2):
        sides = add(f"sides{i}", 10, 30, pressed)
        follows(before, sides)
        before = sides
    dm2 = 2 * (side * 0.25 + 1) ** 2
    for name, minutes, hold, uses, wait in (
        ("true", 15, 0, None, 60 - 30),
        ("topbottom", 15, 60, pressed, 0),
        # A day from when the clamps went on.
        ("flatten", 60, 0, None, 24 * 60 - 60),
        ("edges", 30, 0, None, 0),
    ):
        task = add(name, minutes, hold, uses)
        follows(before, task, wait)
        before = task
    sand_all = 2.5 * dm2
    lots = max(1, -(-round(sand_all * 100) // 6000))
    for i in range(lots):
        sand = add(f"sand{i}", sand_all / lots)
        follows(before, sand)
        before = sand
    oil = add("oil", 10 + 0.6 * dm2, 30, {"bench": 1})
    follows(before, oil)
    buff = add("buff", 15, rest=CURE)
    follows(oil, buff)
    # Wiped off within an hour and a half.
    links.append(Link(buff, oil, -(tasks[oil].attended + slots(90))))
