"""No plan costs less, and here is why: the floor proved anew from stored prices, with plain loops over whole numbers.

Give every part a price, any price from nought. A board cannot earn more, at these prices and with its offcuts kept,
than some most M that four nested sums find exactly. All parts together are worth the sum S of price times count, and
the boards that are opened have to earn it. So a plan that opens n boards of a kind that cost c each costs no less than

    S - sum over kinds of n · (M - c),      and n lies between the least and the most of its leaf:
    S - sum over kinds of (most · (M - c) where that is above 0, else least · (M - c)).

What a proof counts in a plan (rough lengths ripped, strips, edges and tails that are kept, each from some length on)
may have a price as well: each earns so much less, and S is less by that price times the most of the leaf where the
price is above 0, else times the least.

The leaves cut all plans apart by how many boards of each kind they open and how many of each count they have, so the
least of their bounds holds for all plans; costs are whole, so it is rounded up. No solver, no floating point, nothing
of the planner's own sums is used.
Source: weak duality of linear programming over Gilmore and Gomory's patterns (1961, 1963; from memory).
"""

from __future__ import annotations

from itertools import combinations
from math import prod

from planner.cutting.plan.earning import Priced, Stuff, most_earned
from planner.cutting.plan.terms import SCALE, CutJob, CutPlanError, Leaf, Prices, Rules, StockBoard, WoodFloor

# What a board costs, what it is of, the lengths of its clear stretches.
_Kind = tuple[int, Stuff, tuple[int, ...]]
# (width, thickness, length, shade asked for) -> how many are wanted
_Wanted = dict[tuple[int, int, int, str], int]


class FloorError(CutPlanError):
    """Stored prices that prove nothing for this job."""


def prove_floor(floor: WoodFloor, job: CutJob) -> int:
    """What no plan of ``floor.wood`` in ``job`` undercuts, in money units, whichever way its strips may be ripped.

    Raises FloorError where its prices prove nothing for this job, or not for every way that may be taken.
    """
    proofs = (floor.prices, *floor.other)
    if sorted(one.way for one in proofs) != sorted(_ways(floor.wood, job)):
        raise FloorError("A way the wood may be ripped is left out.", mend="Plan again.", field="ways")
    if any(one.wood != floor.wood for one in proofs):
        raise FloorError("The prices are those of another wood.", mend="Plan again.", field="floors")
    return min(prove(one, job) for one in proofs)


def prove(prices: Prices, job: CutJob) -> int:
    """What no plan of ``prices.wood`` in ``job`` that rips it the ``way`` of the prices undercuts, in money units, from
    the prices alone. That parts may be bound to one board is not looked at; it makes no plan cheaper.

    Raises FloorError where parts or boards are not those of the job or the leaves leave plans out.
    """
    if prices.way not in _ways(prices.wood, job):
        raise FloorError("The wood is not to be ripped that way.", mend="Plan again.", field="ways")
    wanted: _Wanted = {}
    for part in job.parts:
        if part.wood == prices.wood and part.count > 0:
            ripped = (part.thickness, part.width) if prices.way == "edge" else (part.width, part.thickness)
            size = (*ripped, part.length, part.shade)
            wanted[size] = wanted.get(size, 0) + part.count
    sizes = _sizes(prices)
    if set(sizes) != set(wanted) or len(sizes) != len(wanted):
        raise FloorError("The prices are not for the parts of this job.", mend="Plan again.", field="parts")
    kinds = _kinds(prices, job, wanted)
    sections = {size[:2] for size in prices.sizes}
    able = {
        "rough": {(0, 0)},
        "edges": {(0, 0)},
        "strips": sections,
        "tails": sections,
        "milled": {(0, section[1]) for section in sections},
        "resawn": {(0, section[1]) for section in sections},
    }
    for one in prices.counted:
        if (one.width, one.thickness) not in able.get(one.what, set()) or prices.counted.count(one) > 1:
            raise FloorError("The proof counts what is not in this job.", mend="Plan again.", field="floors")
    _check_leaves(prices, [len(names) for names in prices.kinds])
    return max(-(-min(_leaf_bound(leaf, prices, wanted, kinds, job.rules) for leaf in prices.leaves) // SCALE), 0)


def _ways(wood: str, job: CutJob) -> tuple[str, ...]:
    way = dict(job.ways).get(wood, "face")
    return ("face", "edge") if way == "either" else (way,)


def _sizes(prices: Prices) -> list[tuple[int, int, int, str]]:
    shades = prices.shades or ("",) * len(prices.sizes)
    if len(shades) != len(prices.sizes):
        raise FloorError("The prices are not for the shades of this job.", mend="Plan again.", field="parts")
    return [(*size, shade) for size, shade in zip(prices.sizes, shades, strict=True)]


def _kinds(prices: Prices, job: CutJob, wanted: _Wanted) -> list[_Kind]:
    """What each kind's boards are, once it is sure that those of a kind are alike and that none is left out."""
    rules = job.rules
    shades = {size[3] for size in wanted}
    thicknesses = sorted({size[1] for size in wanted})
    useful: dict[str, _Kind] = {}
    for board in job.stock:
        across, stretches = board.width - 2 * rules.edge_trim, _clear(board, rules)
        if board.wood == prices.wood and across > 0 and stretches:
            shade = board.shade if board.shade in shades else ""
            layers = tuple(thickness for thickness in thicknesses if thickness <= board.resawn)
            useful[board.name] = (board.cost, Stuff(across, board.yields, board.worth, shade, layers), stretches)
    named = [name for names in prices.kinds for name in names]
    if len(set(named)) != len(named) or set(named) != set(useful):
        raise FloorError("The prices are not for the boards of this job.", mend="Plan again.", field="stock")
    kinds = []
    for names in prices.kinds:
        if len({useful[name] for name in names}) != 1:
            raise FloorError("Boards of one kind are not alike.", mend="Plan again.", field="stock")
        kinds.append(useful[names[0]])
    return kinds


def _clear(board: StockBoard, rules: Rules) -> tuple[int, ...]:
    """The lengths of what lies between the trims and the bad stretches, each at least a kerf wide."""
    first, last = rules.end_trim, board.length - rules.end_trim
    bad = [(begin, max(end, begin + rules.crosscut_kerf)) for begin, end in board.bad if end > first]
    begins = [first, *(end for _, end in bad)]
    lengths = []
    for at in sorted(set(begins)):
        if at < first or any(begin <= at < end for begin, end in bad):
            continue
        stop = min([begin for begin, _ in bad if begin > at], default=last)
        if min(stop, last) > at:
            lengths.append(min(stop, last) - at)
    return tuple(lengths)


def _check_leaves(prices: Prices, counts: list[int]) -> None:
    """That no plan lies outside the leaves: they do not overlap, and together they hold as many as there are."""
    boxes = []
    every = range(len(prices.counted))
    # No leaf tells more of a count apart than this many, so any more are as good as this many.
    most = [max((max(leaf.counts_low[i], leaf.counts_high[i] + 1) for leaf in prices.leaves), default=0) for i in every]
    for leaf in prices.leaves:
        if not (
            len(leaf.low) == len(leaf.high) == len(counts)
            and len(leaf.prices) == len(prices.sizes)
            and min(leaf.prices, default=0) >= 0
            and len(leaf.counts_low) == len(leaf.counts_high) == len(leaf.count_prices) == len(most)
            and all(
                low >= 0 and (high >= low or (high == -1 and price <= 0))
                for low, high, price in zip(leaf.counts_low, leaf.counts_high, leaf.count_prices, strict=True)
            )
            and all(0 <= low <= high <= count for low, high, count in zip(leaf.low, leaf.high, counts, strict=True))
        ):
            raise FloorError("A leaf of the proof is not well formed.", mend="Plan again.", field="floors")
        spans = [(leaf.counts_low[i], leaf.counts_high[i] if leaf.counts_high[i] >= 0 else most[i]) for i in every]
        boxes.append([*zip(leaf.low, leaf.high, strict=True), *spans])
    for one, other in combinations(boxes, 2):
        if all(a[0] <= b[1] and b[0] <= a[1] for a, b in zip(one, other, strict=True)):
            raise FloorError("Two leaves of the proof overlap.", mend="Plan again.", field="floors")
    if sum(prod(high - low + 1 for low, high in box) for box in boxes) != prod(count + 1 for count in [*counts, *most]):
        raise FloorError("The leaves of the proof leave plans out.", mend="Plan again.", field="floors")


def _leaf_bound(leaf: Leaf, prices: Prices, wanted: _Wanted, kinds: list[_Kind], rules: Rules) -> int:
    priced: Priced = {}
    total = 0
    for size, price in zip(_sizes(prices), leaf.prices, strict=True):
        total += price * wanted[size]
        priced.setdefault(size[:2], []).append((size[2], size[3], wanted[size], price))
    paid = [(one, price) for one, price in zip(prices.counted, leaf.count_prices, strict=True) if price]
    for low, high, price in zip(leaf.counts_low, leaf.counts_high, leaf.count_prices, strict=True):
        total -= high * price if price > 0 else low * price
    # What a board earns of which the leaf opens none is never asked.
    opened = [(low, high, kind) for low, high, kind in zip(leaf.low, leaf.high, kinds, strict=True) if high]
    most = most_earned(priced, paid, [kind[1:] for _, _, kind in opened], rules)
    for (low, high, kind), earns in zip(opened, most, strict=True):
        gain = earns - kind[0] * SCALE
        total -= high * gain if gain > 0 else low * gain
    return total
