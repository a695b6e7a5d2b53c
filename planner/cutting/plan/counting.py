"""Whether what a plan cuts is what is wanted: the checker's counting of parts, shades, bound parts and ways."""

from __future__ import annotations

from collections import Counter

from planner.cutting.plan.terms import CutJob, CutPlan

# (board, ripped width, thickness, length, pieces it is cut apart into) -> how many
Made = Counter[tuple[str, int, int, int, tuple[int, ...]]]
# The same without the board, after the wood.
_Size = tuple[str, int, int, int, tuple[int, ...]]


def way_faults(plan: CutPlan, job: CutJob) -> list[str]:
    """Woods turned on edge that are not to be, and woods to be turned that are not."""
    ways = dict(job.ways)
    faults = [
        f"The strips of {wood} are turned on edge; they are to be ripped face up."
        for wood in plan.on_edge
        if ways.get(wood, "face") not in ("edge", "either")
    ]
    flat = {part.wood for part in job.parts if part.count > 0} - set(plan.on_edge)
    faults += [
        f"The strips of {wood} are ripped face up; they are to be turned on edge."
        for wood, way in job.ways
        if way == "edge" and wood in flat
    ]
    return faults


def count_faults(plan: CutPlan, job: CutJob, made: Made) -> list[str]:
    """Parts too few or too many, and those that are not from the shade or the one board they were wished from."""
    shelf = {board.name: board for board in job.stock}
    by_size: Counter[_Size] = Counter()
    for (board, width, thickness, length, pieces), count in made.items():
        by_size[shelf[board].wood, width, thickness, length, pieces] += count
    wanted: Counter[_Size] = Counter()
    held: dict[tuple[str, str], Counter[tuple[_Size, str]]] = {}
    shaded: Counter[tuple[_Size, str]] = Counter()
    for part in job.parts:
        if part.count <= 0:
            continue
        ripped = (part.thickness, part.width) if part.wood in plan.on_edge else (part.width, part.thickness)
        key = (part.wood, *ripped, part.length, part.pieces)
        wanted[key] += part.count
        if part.bound:
            held.setdefault((part.wood, part.bound), Counter())[key, part.shade] += part.count
        elif part.shade:
            shaded[key, part.shade] += part.count
    faults = []
    for key in sorted(wanted.keys() | by_size.keys()):
        if wanted[key] != by_size[key]:
            apart = f", cut apart into {' and '.join(map(str, key[4]))}," if key[4] else ","
            faults.append(
                f"Of {key[0]} {key[1]} by {key[2]} by {key[3]}{apart} {by_size[key]} are cut; {wanted[key]} are wanted."
            )
    left = Made(made)
    faults += _bound_faults(plan, job, held, left)
    for (key, shade), count in sorted(shaded.items()):
        there = sum(
            number
            for (board, *size), number in left.items()
            if shelf[board].wood == key[0] and shelf[board].shade == shade and tuple(size) == key[1:]
        )
        if there < count:
            faults.append(
                f"Of {key[0]} {key[1]} by {key[2]} by {key[3]}, {there} are cut from boards of the shade {shade}; "
                f"{count} are wanted."
            )
    return faults


def _bound_faults(
    plan: CutPlan, job: CutJob, held: dict[tuple[str, str], Counter[tuple[_Size, str]]], left: Made
) -> list[str]:
    """Bound parts that are not all on the board the plan names; those that are, are taken out of ``left``."""
    shelf = {board.name: board for board in job.stock}
    named = {(wood, bound): board for wood, bound, board in plan.bound_to}
    faults = []
    if len(named) != len(plan.bound_to) or set(named) != set(held):
        faults.append("The plan does not name one board for all parts that are bound together.")
    for (wood, bound), sizes in sorted(held.items()):
        board = named.get((wood, bound))
        if board is None:
            continue
        if board not in shelf or shelf[board].wood != wood:
            faults.append(f"The parts of {wood} bound together as {bound} are to come from {board}, not of {wood}.")
            continue
        for (key, shade), count in sorted(sizes.items()):
            if shade and shelf[board].shade != shade:
                faults.append(f"The parts bound together as {bound} ask for the shade {shade}; {board} is not of it.")
            there = left[board, key[1], key[2], key[3], key[4]]
            if there < count:
                faults.append(
                    f"Of {key[0]} {key[1]} by {key[2]} by {key[3]}, bound together as {bound}, {there} are cut from "
                    f"{board}; {count} are wanted."
                )
            left[board, key[1], key[2], key[3], key[4]] -= count
    return faults
