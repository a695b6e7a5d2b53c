"""Which part of the job each piece of the plan is: parts of one size are told apart by shade, board and name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.cutting.plan import CutJob, CutPlan, Part
from planner.cutting.setups.reading import CutStrip, CutWood

# wood, width, thickness, length, and the lengths it is cut apart into
_Size = tuple[str, int, int, int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class PartCut:
    """``count`` of the job's part number ``part`` off ``strip``, each crosscut into ``lengths`` one after another
    (one length, but for a part in pieces); in units, with what is left for gauging."""

    strip: CutStrip
    part: int
    lengths: tuple[int, ...]
    count: int


def part_cuts(wood: CutWood, job: CutJob, plan: CutPlan) -> tuple[PartCut, ...]:
    """Every piece of the plan under its part's number, strip by strip in the plan's order.

    Parts bound to one board are dealt out first, then those of a shade, then the rest; of one size the earlier part
    comes off the earlier strip. The plan has passed the checker, so that every part is found where it is asked for.
    """
    supply: dict[str, Counter[_Size]] = {}
    for strip in wood.strips:
        counts = supply.setdefault(strip.board, Counter())
        for size, count in _sizes(strip, plan.on_edge):
            counts[size] += count
    left = {i: part.count for i, part in enumerate(job.parts) if part.count > 0}
    return tuple(_along(wood, job, plan.on_edge, _dealt(wood, job.parts, plan, supply, left)))


# Board -> the parts it gives, by number, with how many.
_Dealt = dict[str, list[tuple[int, int]]]


def _dealt(
    wood: CutWood, parts: tuple[Part, ...], plan: CutPlan, supply: dict[str, Counter[_Size]], left: dict[int, int]
) -> _Dealt:
    shade = {one.board.name: one.board.shade for one in wood.boards}
    bound = {(name, lot): board for name, lot, board in plan.bound_to}
    where: _Dealt = {board: [] for board in supply}
    for i in sorted(left, key=lambda i: (not parts[i].bound, not parts[i].shade, i)):
        part = parts[i]
        for board, counts in supply.items():
            if part.bound and bound.get((part.wood, part.bound)) != board:
                continue
            if part.shade and shade[board] != part.shade:
                continue
            taken = min(left[i], counts[_size_of(part)])
            if taken:
                counts[_size_of(part)] -= taken
                left[i] -= taken
                where[board].append((i, taken))
    return where


def _along(wood: CutWood, job: CutJob, on_edge: Sequence[str], where: _Dealt) -> Iterator[PartCut]:
    """What each board gives, dealt out to its strips in order."""
    over = wood.rules.over_length
    for strip in wood.strips:
        mine = where[strip.board]
        for size, count in _sizes(strip, on_edge):
            for n, (i, held) in enumerate(mine):
                taken = min(held, count) if _size_of(job.parts[i]) == size else 0
                if taken:
                    count -= taken
                    mine[n] = (i, held - taken)
                    yield PartCut(strip, i, tuple(length + over for length in size[4] or (size[3],)), taken)


def _sizes(strip: CutStrip, on_edge: Sequence[str]) -> list[tuple[_Size, int]]:
    """What a strip gives, as sizes of parts: those that are cut apart, then those that are not."""
    width, thickness = strip.width, strip.thickness
    if strip.wood in on_edge:
        width, thickness = thickness, width
    found = []
    whole: Counter[int] = Counter()
    for length, count in strip.parts:
        whole[length] += count
    for lengths, count in strip.pieces:
        length = strip.joined(lengths)
        whole[length] -= count
        found.append(((strip.wood, width, thickness, length, lengths), count))
    return [*found, *(((strip.wood, width, thickness, n, ()), count) for n, count in whole.items() if count)]


def _size_of(part: Part) -> _Size:
    return part.wood, part.width, part.thickness, part.length, part.pieces
