"""No plan costs less, and here is why: the floor proved anew from stored prices, with plain loops over whole numbers.

Give every part a price, any price from nought. A board cannot earn more, at these prices and with its offcuts kept,
than some most M that four nested sums find exactly. All parts together are worth the sum S of price times count, and
the boards that are opened have to earn it. So a plan that opens n boards of a kind that cost c each costs no less than

    S - sum over kinds of n · (M - c),      and n lies between the least and the most of its leaf:
    S - sum over kinds of (most · (M - c) where that is above 0, else least · (M - c)).

Strips may have a price as well: each strip ripped earns so much less, and S is less by that price times the most strips
of the leaf where the price is above 0, else times the least.

The leaves cut all plans apart by how many boards of each kind they open, so the least of their bounds holds for all
plans; costs are whole, so it is rounded up. No solver, no floating point, nothing of the planner's own sums is used.
Source: weak duality of linear programming over Gilmore and Gomory's patterns (1961, 1963; from memory).
"""

from __future__ import annotations

from itertools import combinations
from math import prod

from planner.cutting.plan.terms import SCALE, CutJob, CutPlanError, Leaf, Prices, Rules, StockBoard

# (width, thickness) -> (length, count, price)
_Priced = dict[tuple[int, int], list[tuple[int, int, int]]]


class FloorError(CutPlanError):
    """Stored prices that prove nothing for this job."""


def prove(prices: Prices, job: CutJob) -> int:
    """What no plan of ``prices.wood`` in ``job`` undercuts, in money units, from the prices alone.

    Raises FloorError where parts or boards are not those of the job or the leaves leave plans out.
    """
    shelf = {board.name: board for board in job.stock if board.wood == prices.wood}
    wanted: dict[tuple[int, int, int], int] = {}
    for part in job.parts:
        if part.wood == prices.wood:
            size = (part.width, part.thickness, part.length)
            wanted[size] = wanted.get(size, 0) + part.count
    if set(prices.sizes) != set(wanted) or len(prices.sizes) != len(wanted):
        raise FloorError("The prices are not for the parts of this job.", mend="Plan again.", field="parts")
    kinds = _kinds(prices, shelf, job.rules)
    if sorted(prices.sections) != sorted({size[:2] for size in prices.sizes}):
        raise FloorError("The prices are not for the sections of this job.", mend="Plan again.", field="parts")
    _check_leaves(prices, [len(names) for names in prices.kinds])
    return max(-(-min(_leaf_bound(leaf, prices, wanted, kinds, job.rules) for leaf in prices.leaves) // SCALE), 0)


def _kinds(prices: Prices, shelf: dict[str, StockBoard], rules: Rules) -> list[StockBoard]:
    """One board for each kind, once it is sure that those of a kind are alike and that none is left out."""
    named = [name for names in prices.kinds for name in names]
    useful = {name for name, b in shelf.items() if b.width > 2 * rules.edge_trim and b.length > 2 * rules.end_trim}
    if len(set(named)) != len(named) or set(named) != useful:
        raise FloorError("The prices are not for the boards of this job.", mend="Plan again.", field="stock")
    firsts = []
    for names in prices.kinds:
        alike = {(b.width, b.length, b.yields, b.cost, b.worth) for b in (shelf[name] for name in names)}
        if len(alike) != 1:
            raise FloorError("Boards of one kind are not alike.", mend="Plan again.", field="stock")
        firsts.append(shelf[names[0]])
    return firsts


def _check_leaves(prices: Prices, counts: list[int]) -> None:
    """That no plan lies outside the leaves: they do not overlap, and together they hold as many as there are."""
    boxes = []
    every = range(len(prices.sections))
    # No leaf tells more strips of a section apart than this many, so any more are as good as this many.
    most = [max((max(leaf.strips_low[i], leaf.strips_high[i] + 1) for leaf in prices.leaves), default=0) for i in every]
    for leaf in prices.leaves:
        if not (
            len(leaf.low) == len(leaf.high) == len(counts)
            and len(leaf.prices) == len(prices.sizes)
            and min(leaf.prices, default=0) >= 0
            and len(leaf.strips_low) == len(leaf.strips_high) == len(leaf.strip_prices) == len(most)
            and all(
                low >= 0 and (high >= low or (high == -1 and price <= 0))
                for low, high, price in zip(leaf.strips_low, leaf.strips_high, leaf.strip_prices, strict=True)
            )
            and all(0 <= low <= high <= count for low, high, count in zip(leaf.low, leaf.high, counts, strict=True))
        ):
            raise FloorError("A leaf of the proof is not well formed.", mend="Plan again.", field="floors")
        strips = [(leaf.strips_low[i], leaf.strips_high[i] if leaf.strips_high[i] >= 0 else most[i]) for i in every]
        boxes.append([*zip(leaf.low, leaf.high, strict=True), *strips])
    for one, other in combinations(boxes, 2):
        if all(a[0] <= b[1] and b[0] <= a[1] for a, b in zip(one, other, strict=True)):
            raise FloorError("Two leaves of the proof overlap.", mend="Plan again.", field="floors")
    if sum(prod(high - low + 1 for low, high in box) for box in boxes) != prod(count + 1 for count in [*counts, *most]):
        raise FloorError("The leaves of the proof leave plans out.", mend="Plan again.", field="floors")


def _leaf_bound(
    leaf: Leaf, prices: Prices, wanted: dict[tuple[int, int, int], int], kinds: list[StockBoard], rules: Rules
) -> int:
    priced: _Priced = {}
    total = 0
    for size, price in zip(prices.sizes, leaf.prices, strict=True):
        total += price * wanted[size]
        priced.setdefault(size[:2], []).append((size[2], wanted[size], price))
    beside = dict(zip(prices.sections, leaf.strip_prices, strict=True))
    for low, high, price in zip(leaf.strips_low, leaf.strips_high, leaf.strip_prices, strict=True):
        total -= high * price if price > 0 else low * price
    most = _most_of_boards(priced, beside, kinds, rules)
    for low, high, board, earns in zip(leaf.low, leaf.high, kinds, most, strict=True):
        gain = earns - board.cost * SCALE
        total -= high * gain if gain > 0 else low * gain
    return total


def _most_of_boards(
    priced: _Priced, beside: dict[tuple[int, int], int], kinds: list[StockBoard], rules: Rules
) -> list[int]:
    """The most each board can earn, in 1/SCALE of a money unit. Boards that differ in length only share the sums."""
    longest: dict[tuple[int, int, int], int] = {}
    for board in kinds:
        key = (board.width, board.yields, board.worth)
        longest[key] = max(longest.get(key, 0), board.length - 2 * rules.end_trim)
    whole = max(longest.values(), default=0)
    steps = min(whole, rules.longest_rip or whole) // rules.grid
    filled = {section: _filled(parts, steps * rules.grid, rules) for section, parts in priced.items()}
    strips: dict[tuple[tuple[int, int], int], list[int]] = {}
    tables: dict[tuple[int, int, int], list[int]] = {}
    for key in longest:
        width, yields, worth = key
        for section, values in filled.items():
            if section[1] <= yields and _safe(section, rules) and (section, worth) not in strips:
                strips[section, worth] = _strip_values(section[0], values, worth, steps, rules)
        ripped = {
            section: strips[section, worth] for section in filled if section[1] <= yields and _safe(section, rules)
        }
        rough = _rough_values(ripped, beside, width - 2 * rules.edge_trim, worth, steps, rules)
        tables[key] = _lengthwise(rough, longest[key], rules)
    return [_board_value(board, tables[board.width, board.yields, board.worth], rules) for board in kinds]


def _safe(section: tuple[int, int], rules: Rules) -> bool:
    return section[0] + rules.over_width >= rules.narrowest and section[1] >= rules.thinnest


def _rate(width: int, worth: int, rules: Rules) -> int:
    return -(-SCALE * width * worth // rules.worth_area)


def _filled(parts: list[tuple[int, int, int]], longest: int, rules: Rules) -> list[int]:
    """The most that parts which take no more than ``at`` units, kerfs included, are worth, for every ``at``."""
    room = longest + rules.crosscut_kerf
    best = [0] * (room + 1)
    for length, count, price in parts:
        takes = length + rules.over_length + rules.crosscut_kerf
        left, bundle = min(count, room // takes), 1
        while left > 0 and price > 0:
            pieces = min(bundle, left)
            left -= pieces
            bundle *= 2
            step, value = pieces * takes, pieces * price
            for at in range(room, step - 1, -1):
                with_it = best[at - step] + value
                if with_it > best[at]:
                    best[at] = with_it
    return best


def _strip_values(width: int, filled: list[int], worth: int, steps: int, rules: Rules) -> list[int]:
    """The most a strip is worth, for every grid step of its length; -1 where it is too short to be held."""
    held = max(rules.grip, rules.snipe)
    front = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    rate = _rate(width + rules.over_width, worth, rules)
    # A kept tail is paid by the unit, so a strip with one is worth: whole length's pay + most of (parts - pay used).
    least = []
    best = None
    for used, value in enumerate(filled):
        net = value - rate * used
        best = net if best is None or net > best else best
        least.append(best)
    values = []
    for step in range(steps + 1):
        length = step * rules.grid
        room = length - front - held if held else length + rules.crosscut_kerf
        value = filled[room] if room >= 0 else -1
        most = min(length - front - max(rules.keep_length, 1), room)
        if rate and most >= 0:
            value = max(value, rate * (length - front) + least[most])
        values.append(value)
    return values


def _rough_values(
    strips: dict[tuple[int, int], list[int]],
    beside: dict[tuple[int, int], int],
    across: int,
    worth: int,
    steps: int,
    rules: Rules,
) -> list[int]:
    """The most a ripped rough length is worth, for every grid step: strips of one thickness, and the edge left."""
    values = [0] * (steps + 1)
    for thickness in {section[1] for section in strips}:
        alike = [
            (section[0] + rules.over_width + rules.rip_kerf, value, beside[section])
            for section, value in strips.items()
            if section[1] == thickness
        ]
        room = across + rules.rip_kerf
        # Only where a strip's slots can end does anything change from one width to the next.
        ends = {0}
        for at in range(room + 1):
            if at in ends:
                ends |= {at + takes for takes, _, _ in alike if at + takes <= room}
        for step in range(steps + 1):
            length = step * rules.grid
            if length < rules.shortest_rough:
                continue
            best = {0: 0}
            for at in sorted(ends):
                for takes, value, price in alike:
                    before = best.get(at - takes)
                    if (
                        before is not None
                        and value[step] >= 0
                        and (at not in best or before + value[step] - price > best[at])
                    ):
                        best[at] = before + value[step] - price
            for at, value_at in best.items():
                left = across - at
                kept = at > 0 and worth > 0 and left > 0 and left >= rules.keep_width and length >= rules.keep_length
                sum_ = value_at + (_rate(left, worth, rules) * length if kept else 0)
                values[step] = max(values[step], sum_)
    return values


def _lengthwise(rough: list[int], along: int, rules: Rules) -> list[int]:
    """The most that rough lengths, each with a kerf behind it, are worth within every length up to ``along`` and a
    kerf. A longer one worth no more than a shorter one is never needed."""
    ways: list[tuple[int, int]] = []
    for step, value in enumerate(rough):
        if step and value > (ways[-1][1] if ways else 0):
            ways.append((step * rules.grid + rules.crosscut_kerf, value))
    best = [0] * (along + rules.crosscut_kerf + 1)
    unit = _common([rules.grid, rules.crosscut_kerf])
    for at in range(1, len(best)):
        top = best[at - 1]
        if at % unit == 0:
            for takes, value in ways:
                if takes > at:
                    break
                with_it = best[at - takes] + value
                if with_it > top:
                    top = with_it
        best[at] = top
    return best


def _common(numbers: list[int]) -> int:
    most = 0
    for number in numbers:
        while number:
            most, number = number, most % number
    return most or 1


def _board_value(board: StockBoard, best: list[int], rules: Rules) -> int:
    along = board.length - 2 * rules.end_trim
    across = board.width - 2 * rules.edge_trim
    value = best[along + rules.crosscut_kerf]
    if board.worth > 0 and across >= rules.keep_width:
        rate = _rate(across, board.worth, rules)
        for used in range(along - max(rules.keep_length, 1) + 1):
            value = max(value, best[used] + rate * (along - used))
    return value
