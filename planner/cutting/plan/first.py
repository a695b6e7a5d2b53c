"""A first plan at once: the best of five runs of the plain habit at the saw, longest first.

Each run opens the boards in another order. On a board, the longest part still wanted decides which section is ripped
next; the rough length is filled strip by strip, in each the longest that still fits (first fit, decreasing), and is
then cut no longer than its fullest strip needs. Source: common practice; first-fit decreasing is folklore of bin
packing (D. S. Johnson, 1973, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from planner.cutting.plan.terms import BoardCut, Part, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import settle, slot, strip_head, strip_room, strip_slot, usable

_Order = Callable[[StockBoard], tuple[Fraction, ...]]
# How many lengths rough lengths are held to, and from how many pieces on fewer runs are made.
_CAPS = 48
_MANY = 2000
# width, thickness -> length -> pieces still wanted
Wanted = dict[tuple[int, int], dict[int, int]]


def _area(board: StockBoard) -> int:
    return max(board.width * board.length, 1)


_ORDERS: tuple[_Order, ...] = (
    lambda b: (Fraction(b.cost, _area(b)), Fraction(-_area(b))),
    lambda b: (Fraction(b.cost),),
    lambda b: (Fraction(-_area(b)),),
    lambda b: (Fraction(_area(b)), Fraction(b.cost)),
    lambda b: (Fraction(-b.length), Fraction(b.cost, _area(b))),
)


def wanted_of(parts: tuple[Part, ...]) -> Wanted:
    """Pieces by section (width, thickness) and length in units, longest first."""
    wanted: Wanted = {}
    for part in sorted(parts, key=lambda p: -p.length):
        if part.count > 0:
            lengths = wanted.setdefault((part.width, part.thickness), {})
            lengths[part.length] = lengths.get(part.length, 0) + part.count
    return wanted


def first_plan(
    parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules
) -> tuple[tuple[BoardCut, ...] | None, Wanted]:
    """The cheapest of the five runs for the parts and boards of one wood, and what the best run leaves uncut.

    The cuts are None where no run finds room for all parts; a plan may exist all the same.
    """
    shelf = {board.name: board for board in stock}
    best: tuple[BoardCut, ...] | None = None
    best_cost = 0
    least: Wanted | None = None
    for order in _ORDERS:
        cuts, left = _run(wanted_of(parts), sorted(stock, key=order), rules)
        if left:
            if least is None or _pieces(left) < _pieces(least):
                least = left
            continue
        cost = settle(cuts, shelf, rules).cost
        if best is None or cost < best_cost:
            best, best_cost = tuple(cuts), cost
    return best, {} if best is not None else least or {}


def varied_plans(
    parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules
) -> Iterator[tuple[BoardCut, ...]]:
    """Plans of the same habit with rough lengths held to every length that may suit, of which the shorter ones waste
    less behind short parts; a part that needs a longer one gets it. Plans that leave parts uncut are passed over."""
    wanted = wanted_of(parts)
    sizes = {size for lengths in wanted.values() for size in lengths}
    longest = max((usable(board, rules)[1] for board in stock), default=0)
    most = min(longest, rules.longest_rip or longest)
    least = shortest_rough(slot(min(sizes, default=1), rules), rules)
    span = range(least, most + 1, rules.grid * max((most - least) // rules.grid // _CAPS, 1))
    pieces = sum(sum(lengths.values()) for lengths in wanted.values())
    for order in _ORDERS[: 5 if pieces < _MANY else 2]:
        boards = sorted(stock, key=order)
        for cap in span:
            cuts, left = _run(wanted_of(parts), boards, rules, cap)
            if not left:
                yield tuple(cuts)


def _pieces(wanted: Wanted) -> int:
    return sum(sum(lengths.values()) for lengths in wanted.values())


def _run(wanted: Wanted, boards: list[StockBoard], rules: Rules, cap: int = 0) -> tuple[list[BoardCut], Wanted]:
    cuts = []
    for board in boards:
        if not wanted:
            break
        rough = _cut_board(wanted, board, rules, cap)
        if rough:
            cuts.append(BoardCut(board.name, tuple(rough)))
    return cuts, wanted


def _cut_board(wanted: Wanted, board: StockBoard, rules: Rules, cap: int) -> list[RoughCut]:
    across, along = usable(board, rules)
    rough: list[RoughCut] = []
    while wanted and along > 0:
        length = min(along, rules.longest_rip or along) // rules.grid * rules.grid
        if cap:
            size = max(max(lengths) for lengths in wanted.values())
            length = min(length, max(cap, shortest_rough(slot(size, rules), rules)))
        one = _fill(wanted, length, across, board.yields, rules)
        if one is None:
            break
        rough.append(one)
        along -= one.length + rules.crosscut_kerf
    if rough and along >= rules.keep_length and along > 0:
        rough.append(RoughCut(along, 0, ()))
    return rough


def _fill(wanted: Wanted, length: int, across: int, yields: int, rules: Rules) -> RoughCut | None:
    """Rip one rough length of at most ``length`` and take what it gives from ``wanted``."""
    room = strip_room(length, rules)
    if length < rules.shortest_rough:
        return None
    strips: list[StripCut] = []
    thickness = 0
    left = across + rules.rip_kerf
    most = 0
    while wanted:
        fitting = [
            (next((size for size in lengths if slot(size, rules) <= room), 0), section)
            for section, lengths in wanted.items()
            if section[1] <= yields
            and (not strips or section[1] == thickness)
            and strip_slot(section[0], rules) <= left
        ]
        longest, section = max(fitting, default=(0, (0, 0)))
        if not longest:
            break
        thickness = section[1]
        strip, used = _fill_strip(wanted[section], room, rules)
        if not wanted[section]:
            del wanted[section]
        strips.append(StripCut(section[0], strip))
        most = max(most, used)
        left -= strip_slot(section[0], rules)
    if not strips:
        return None
    return RoughCut(shortest_rough(most, rules), thickness, tuple(strips))


def shortest_rough(used: int, rules: Rules) -> int:
    """The shortest rough length on the grid that is milled at all and whose strips have room for ``used`` units of
    parts and kerfs."""
    held = max(rules.grip, rules.snipe)
    need = used + strip_head(rules) + held if held else used - rules.crosscut_kerf
    return -(-max(need, rules.shortest_rough, 1) // rules.grid) * rules.grid


def _fill_strip(lengths: dict[int, int], room: int, rules: Rules) -> tuple[tuple[tuple[int, int], ...], int]:
    taken = []
    used = 0
    for size in list(lengths):
        fits = min(lengths[size], (room - used) // slot(size, rules))
        if fits > 0:
            taken.append((size, fits))
            used += fits * slot(size, rules)
            lengths[size] -= fits
            if not lengths[size]:
                del lengths[size]
    return tuple(taken), used
