"""Every cut plan there is for a small job, tried one by one: what the planner's cost and floor are held against.

Nothing of the planner is used but its words. A board is walked unit by unit from the end the tape is hooked on: at
each either nothing begins, or a rough length that is ripped, or one that is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product
from operator import add, le

from planner.cutting.plan import CutJob, Part, Rules, StockBoard

# How many of each part -> the most that is kept beside it.
Ways = dict[tuple[int, ...], int]


def cheapest(job: CutJob) -> int | None:
    """The cost of the cheapest plan, None where there is none."""
    total = 0
    for wood in sorted({part.wood for part in job.parts}):
        way = dict(job.ways).get(wood, "face")
        parts = [part for part in job.parts if part.wood == wood and part.count > 0]
        boards = [board for board in job.stock if board.wood == wood]
        costs = [_cheapest(parts, boards, job.rules, one) for one in (("face", "edge") if way == "either" else (way,))]
        found = [cost for cost in costs if cost is not None]
        if not found:
            return None
        total += min(found)
    return total


def _cheapest(parts: list[Part], boards: list[StockBoard], rules: Rules, way: str) -> int | None:
    """Every choice of a board for every lot of bound parts is tried too."""
    lots = sorted({part.bound for part in parts if part.bound})
    costs = []
    for chosen in product(boards, repeat=len(lots)):
        holder = dict(zip(lots, (board.name for board in chosen), strict=True))

        def may(part: Part, board: StockBoard, holder: dict[str, str] = holder) -> bool:
            return part.shade in ("", board.shade) and (not part.bound or holder[part.bound] == board.name)

        costs.append(_for_boards(parts, boards, rules, way, may))
    found = [cost for cost in costs if cost is not None]
    return min(found) if found else None


def _for_boards(
    parts: list[Part],
    boards: list[StockBoard],
    rules: Rules,
    way: str,
    may: Callable[[Part, StockBoard], bool],
) -> int | None:
    need = tuple(part.count for part in parts)
    best: dict[tuple[int, ...], int] = {(0,) * len(need): 0}
    for board in boards:
        limits = tuple(part.count if may(part, board) else 0 for part in parts)
        fresh = dict(best)
        for (a, cost), (b, credit) in product(best.items(), _board_ways(parts, limits, board, rules, way).items()):
            made = tuple(map(add, a, b))
            if all(map(le, made, need)) and cost + board.cost - credit < fresh.get(made, 10**12):
                fresh[made] = cost + board.cost - credit
        best = fresh
    return best.get(need)


def _board_ways(parts: list[Part], limits: tuple[int, ...], board: StockBoard, rules: Rules, way: str) -> Ways:
    across = board.width - 2 * rules.edge_trim
    end = board.length - rules.end_trim
    bad = [(a, max(b, a + rules.crosscut_kerf)) for a, b in board.bad if b > rules.end_trim]
    rough = {
        length: _rough_ways(parts, limits, board, rules, way, length, across)
        for length in range(rules.grid, board.length + 1, rules.grid)
        if length >= rules.shortest_rough and not (rules.longest_rip and length > rules.longest_rip)
    }
    nothing = (0,) * len(parts)
    after: list[Ways] = [{nothing: 0} for _ in range(board.length + rules.crosscut_kerf + 2)]
    for at in range(end - 1, rules.end_trim - 1, -1):
        ways = dict(after[at + 1])
        for length in range(1, end - at + 1):
            if any(at < b and at + length > a for a, b in bad):
                break
            then = after[min(at + length + rules.crosscut_kerf, board.length)]
            kept = _worth(across, length, board.worth, rules) if across >= rules.keep_width else 0
            if kept:
                _join(ways, {nothing: kept}, then, limits)
            if length in rough:
                _join(ways, rough[length], then, limits)
        after[at] = ways
    return after[rules.end_trim]


def _rough_ways(
    parts: list[Part], limits: tuple[int, ...], board: StockBoard, rules: Rules, way: str, length: int, across: int
) -> Ways:
    """A rough length ripped as it is, or resawn into two layers of one thickness, the second ripped or kept."""
    ways: Ways = {}
    for thickness in sorted({part.width if way == "edge" else part.thickness for part in parts}):
        if thickness < rules.thinnest:
            continue
        if thickness <= board.yields:
            _join(ways, _layer_ways(parts, limits, board.worth, rules, way, length, across, thickness), None, limits)
        if thickness <= board.resawn:
            half = board.worth // 2
            layer = _layer_ways(parts, limits, half, rules, way, length, across, thickness)
            kept = _worth(across, length, half, rules) if across >= rules.keep_width else 0
            second = dict(layer)
            _join(second, {(0,) * len(parts): kept}, None, limits)
            _join(ways, layer, second, limits)
    return ways


def _layer_ways(
    parts: list[Part],
    limits: tuple[int, ...],
    worth: int,
    rules: Rules,
    way: str,
    length: int,
    across: int,
    thickness: int,
) -> Ways:
    strips: dict[int, Ways] = {}
    for width in {part.thickness if way == "edge" else part.width for part in parts}:
        mine = [
            i
            for i, part in enumerate(parts)
            if ((part.thickness, part.width) if way == "edge" else (part.width, part.thickness)) == (width, thickness)
        ]
        if mine and width + rules.over_width >= rules.narrowest:
            strips[width + rules.over_width] = _strip_ways(parts, limits, worth, rules, length, width, mine)
    ways: Ways = {}
    # How far across the last strip ends -> what is made of it; 0 before the first.
    rows: dict[int, Ways] = {0: {(0,) * len(parts): 0}}
    for far in range(1, across + 1):
        for wide, of in strips.items():
            start = far - wide
            for ends, made in list(rows.items()):
                if ends == start - rules.rip_kerf if ends else start == 0:
                    _join(rows.setdefault(far, {}), of, made, limits)
        beside = across - far - rules.rip_kerf
        edge = _worth(beside, length, worth, rules) if beside >= rules.keep_width else 0
        if far in rows:
            _join(ways, {(0,) * len(parts): edge}, rows[far], limits)
    return ways


def _strip_ways(
    parts: list[Part], limits: tuple[int, ...], worth: int, rules: Rules, length: int, width: int, mine: list[int]
) -> Ways:
    ways: Ways = {}
    head = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    held = max(rules.snipe, rules.grip)
    for counts in product(*(range(limits[i] + 1) for i in mine)):
        takes = 0
        for i, count in zip(mine, counts, strict=True):
            for piece in parts[i].pieces or (parts[i].length,):
                takes += count * (piece + rules.over_length + rules.crosscut_kerf)
        # Where nothing is held the last piece may end the strip, and its cut falls away.
        if takes and head + takes - (0 if held else rules.crosscut_kerf) > length - held:
            continue
        if not takes and head + held > length:
            continue
        made = [0] * len(parts)
        for i, count in zip(mine, counts, strict=True):
            made[i] = count
        kept = _worth(width + rules.over_width, length - head - takes, worth, rules)
        _join(ways, {tuple(made): kept}, None, limits)
    return ways


def _worth(width: int, length: int, worth: int, rules: Rules) -> int:
    if length < max(rules.keep_length, 1) or width <= 0:
        return 0
    return width * length * worth // rules.worth_area


def _join(into: Ways, one: Ways, other: Ways | None, limits: tuple[int, ...]) -> None:
    """Put into ``into`` what both give together, where it is worth more and no part is made too often."""
    for made, credit in _sums(one, other):
        if all(map(le, made, limits)) and into.get(made, -1) < credit:
            into[made] = credit


def _sums(one: Ways, other: Ways | None) -> Iterator[tuple[tuple[int, ...], int]]:
    if other is None:
        yield from one.items()
        return
    for (a, x), (b, y) in product(one.items(), other.items()):
        yield tuple(map(add, a, b)), x + y
