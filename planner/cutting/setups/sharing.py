"""Which part of the job each piece of the plan is: parts of one size are told apart by shade, board and name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.cutting.plan import CutJob, Part
from planner.cutting.setups.reading import CutStrip, CutWood
from planner.cutting.setups.terms import SetUpError

# wood, width, thickness, length
_Size = tuple[str, int, int, int]


@dataclass(frozen=True, slots=True)
class PartCut:
    """``count`` of the job's part number ``part`` off ``strip``, each crosscut into ``lengths`` one after another
    (one length, but for a part in pieces); in units, with what is left for gauging."""

    strip: CutStrip
    part: int
    lengths: tuple[int, ...]
    count: int


def part_cuts(wood: CutWood, job: CutJob, on_edge: Sequence[str]) -> tuple[PartCut, ...]:
    """Every piece of the plan under its part's number, strip by strip in the plan's order.

    Parts bound to one board are placed first, then those of a shade, then the rest; of one size the earlier part
    comes off the earlier strip. Raises SetUpError where the plan does not give exactly the parts of the job.
    """
    supply: dict[str, Counter[_Size]] = {}
    shade = {one.board.name: one.board.shade for one in wood.boards}
    for strip in wood.strips:
        counts = supply.setdefault(strip.board, Counter())
        for length, count in strip.parts:
            counts[_size(strip, length, on_edge)] += count
    left = {i: part.count for i, part in enumerate(job.parts) if part.count > 0}
    wanted: Counter[_Size] = Counter()
    for i, count in left.items():
        wanted[_size_of(job.parts[i])] += count
    given = sum(supply.values(), Counter[_Size]())
    if given != wanted:
        raise SetUpError(
            "The plan does not give exactly the parts that are wanted.",
            mend="Plan anew from these parts.",
            field="plan",
        )
    bound = _bind(job.parts, left, supply, shade)
    where: dict[str, list[tuple[int, int]]] = {}
    order = sorted(left, key=lambda i: (i not in bound, not job.parts[i].shade, i))
    for i in order:
        part = job.parts[i]
        size = _size_of(part)
        for board, counts in supply.items():
            if (i in bound and bound[i] != board) or (part.shade and shade[board] != part.shade):
                continue
            taken = min(left[i], counts[size])
            if taken:
                counts[size] -= taken
                left[i] -= taken
                where.setdefault(board, []).append((i, taken))
    if any(left.values()):
        raise SetUpError(
            "The plan does not keep to the boards and shades its parts ask for.", mend="Plan anew.", field="plan"
        )
    return tuple(_along(wood, job, on_edge, where))


def _along(
    wood: CutWood, job: CutJob, on_edge: Sequence[str], where: dict[str, list[tuple[int, int]]]
) -> Iterator[PartCut]:
    """What each board gives, dealt out to its strips in order."""
    rules = wood.rules
    for strip in wood.strips:
        mine = where[strip.board]
        for length, count in strip.parts:
            size = _size(strip, length, on_edge)
            for n, (i, held) in enumerate(mine):
                taken = min(held, count) if _size_of(job.parts[i]) == size else 0
                if taken:
                    count -= taken
                    mine[n] = (i, held - taken)
                    pieces = job.parts[i].pieces or (length,)
                    yield PartCut(strip, i, tuple(piece + rules.over_length for piece in pieces), taken)


def _bind(
    parts: tuple[Part, ...], left: dict[int, int], supply: dict[str, Counter[_Size]], shade: dict[str, str]
) -> dict[int, str]:
    """The board of every bound part, so that what is left still serves every shade; tried through, as there are few
    such parts. Empty where there are none, and where no choice serves."""
    groups: dict[tuple[str, str], list[int]] = {}
    for i in left:
        if parts[i].bound:
            groups.setdefault((parts[i].wood, parts[i].bound), []).append(i)
    free = {board: Counter(counts) for board, counts in supply.items()}
    chosen: dict[int, str] = {}

    def place(rest: list[list[int]]) -> bool:
        if not rest:
            return _shades_served(parts, left, chosen, free, shade)
        for board, counts in free.items():
            need: Counter[_Size] = Counter()
            for i in rest[0]:
                need[_size_of(parts[i])] += left[i]
            shaded = all(parts[i].shade in ("", shade[board]) for i in rest[0])
            if shaded and need <= counts:
                free[board] = counts - need
                chosen.update(dict.fromkeys(rest[0], board))
                if place(rest[1:]):
                    return True
                free[board] = counts
        for i in rest[0]:
            chosen.pop(i, None)
        return False

    place(list(groups.values()))
    return chosen


def _shades_served(
    parts: tuple[Part, ...],
    left: dict[int, int],
    chosen: dict[int, str],
    free: dict[str, Counter[_Size]],
    shade: dict[str, str],
) -> bool:
    need: Counter[tuple[str, _Size]] = Counter()
    for i, count in left.items():
        if i not in chosen and parts[i].shade:
            need[parts[i].shade, _size_of(parts[i])] += count
    return all(
        count <= sum(counts[size] for board, counts in free.items() if shade[board] == name)
        for (name, size), count in need.items()
    )


def _size(strip: CutStrip, length: int, on_edge: Sequence[str]) -> _Size:
    width, thickness = strip.width, strip.thickness
    if strip.wood in on_edge:
        width, thickness = thickness, width
    return strip.wood, width, thickness, length


def _size_of(part: Part) -> _Size:
    return part.wood, part.width, part.thickness, part.length
