"""A first plan at once: the best of five runs of the plain habit at the saw, longest first.

Each run opens the boards in another order. On a board, the longest part still wanted decides which section is ripped
next; the rough length is filled strip by strip, in each the longest that still fits (first fit, decreasing), and is
then cut no longer than its fullest strip needs. On a board that bears marks some parts ask for, those come first,
and such boards are opened first for as long as such parts are wanted. Source: common practice; first-fit decreasing
is folklore of bin packing (D. S. Johnson, 1973, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.cutting.plan.clear import clear_stretches
from planner.cutting.plan.marks import NONE, Bound, mark_of, marks_of
from planner.cutting.plan.terms import BoardCut, Part, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import settle, slot, strip_head, strip_room, strip_slot, usable

_Order = Callable[[StockBoard], tuple[Fraction, ...]]
# How many lengths rough lengths are held to, and from how many pieces on fewer runs are made.
_CAPS = 48
_MANY = 2000
# width, thickness -> (length, mark) -> pieces still wanted
Wanted = dict[tuple[int, int], dict[tuple[int, str], int]]


def _area(board: StockBoard) -> int:
    return max(board.width * board.length, 1)


_ORDERS: tuple[_Order, ...] = (
    lambda b: (Fraction(b.cost, _area(b)), Fraction(-_area(b))),
    lambda b: (Fraction(b.cost),),
    lambda b: (Fraction(-_area(b)),),
    lambda b: (Fraction(_area(b)), Fraction(b.cost)),
    lambda b: (Fraction(-b.length), Fraction(b.cost, _area(b))),
)


@dataclass(frozen=True, slots=True)
class _Board:
    """A board with what of it may be used: ``across`` units wide, the clear ``stretches`` (from, to) of its length,
    and the ``marks`` parts ask for."""

    board: StockBoard
    across: int
    stretches: tuple[tuple[int, int], ...]
    marks: tuple[str, ...]


def wanted_of(parts: tuple[Part, ...], bound: Bound = NONE) -> Wanted:
    """Pieces by section (width, thickness) and by length in units, longest first, and the mark asked of the board."""
    wanted: Wanted = {}
    for part in sorted(parts, key=lambda p: (-p.length, mark_of(p, bound))):
        if part.count > 0:
            items = wanted.setdefault((part.width, part.thickness), {})
            key = part.length, mark_of(part, bound)
            items[key] = items.get(key, 0) + part.count
    return wanted


def first_plan(
    parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, bound: Bound = NONE, runs: int = 5
) -> tuple[tuple[BoardCut, ...] | None, Wanted]:
    """The cheapest of the five ``runs`` for the parts and boards of one wood, and what the best run leaves uncut. Where
    boards may be resawn, each is made without resawing and with it.

    The cuts are None where no run finds room for all parts; a plan may exist all the same.
    """
    shelf = {board.name: board for board in stock}
    best: tuple[BoardCut, ...] | None = None
    best_cost = 0
    least: Wanted | None = None
    boards = _boards(parts, stock, rules, bound)
    for order in _ORDERS[:runs]:
        in_order = sorted(boards, key=lambda b: order(b.board))
        for resaw in _resaws(stock):
            cuts, left = _run(wanted_of(parts, bound), in_order, rules, resaw)
            if left:
                if least is None or _pieces(left) < _pieces(least):
                    least = left
                continue
            cost = settle(cuts, shelf, rules).cost
            if best is None or cost < best_cost:
                best, best_cost = tuple(cuts), cost
    return best, {} if best is not None else least or {}


def varied_plans(
    parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, bound: Bound = NONE
) -> Iterator[tuple[BoardCut, ...]]:
    """Plans of the same habit with rough lengths held to every length that may suit, of which the shorter ones waste
    less behind short parts; a part that needs a longer one gets it. Plans that leave parts uncut are passed over."""
    wanted = wanted_of(parts, bound)
    sizes = {length for items in wanted.values() for length, _ in items}
    boards = _boards(parts, stock, rules, bound)
    longest = max((end - begin for board in boards for begin, end in board.stretches), default=0)
    most = min(longest, rules.longest_rip or longest)
    least = shortest_rough(slot(min(sizes, default=1), rules), rules)
    span = range(least, most + 1, rules.grid * max((most - least) // rules.grid // _CAPS, 1))
    pieces = _pieces(wanted)
    for order in _ORDERS[: 5 if pieces < _MANY else 2]:
        in_order = sorted(boards, key=lambda b: order(b.board))
        for resaw in _resaws(stock):
            for cap in span:
                cuts, left = _run(wanted_of(parts, bound), in_order, rules, resaw, cap)
                if not left:
                    yield tuple(cuts)


def _boards(parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, bound: Bound) -> list[_Board]:
    return [
        _Board(board, usable(board, rules)[0], clear_stretches(board, rules), marks_of(board, parts, bound))
        for board in stock
    ]


def _resaws(stock: tuple[StockBoard, ...]) -> tuple[bool, ...]:
    return (False, True) if any(board.resawn for board in stock) else (False,)


def _pieces(wanted: Wanted) -> int:
    return sum(sum(items.values()) for items in wanted.values())


def _run(
    wanted: Wanted, boards: list[_Board], rules: Rules, resaw: bool, cap: int = 0
) -> tuple[list[BoardCut], Wanted]:
    cuts = []
    rest = []

    def cut(one: _Board) -> None:
        rough = _cut_board(wanted, one, rules, resaw, cap)
        if rough:
            cuts.append(BoardCut(one.board.name, tuple(rough)))

    for one in boards:
        if one.marks and any(mark in one.marks for items in wanted.values() for _, mark in items):
            cut(one)
        else:
            rest.append(one)
    for one in rest:
        if not wanted:
            break
        cut(one)
    return cuts, wanted


def _cut_board(wanted: Wanted, one: _Board, rules: Rules, resaw: bool, cap: int) -> list[RoughCut]:
    rough: list[RoughCut] = []
    ripped = False
    for at, end in one.stretches:
        while wanted and at < end:
            length = min(end - at, rules.longest_rip or end - at) // rules.grid * rules.grid
            if cap:
                size = max(length for items in wanted.values() for length, _ in items)
                length = min(length, max(cap, shortest_rough(slot(size, rules), rules)))
            made = _fill(wanted, length, one, rules, resaw)
            if made is None:
                break
            ripped = True
            rough.append(replace(made, at=at))
            at += made.length + rules.crosscut_kerf
        if end - at >= max(rules.keep_length, 1):
            rough.append(RoughCut(end - at, 0, (), at))
    return rough if ripped else []


def _fill(wanted: Wanted, length: int, one: _Board, rules: Rules, resaw: bool) -> RoughCut | None:
    """Rip one rough length of at most ``length`` and take what it gives from ``wanted``."""
    if length < rules.shortest_rough:
        return None
    room = strip_room(length, rules)
    strips, thickness, used = _fill_layer(wanted, room, one, rules, 0)
    if not strips:
        return None
    under: tuple[StripCut, ...] = ()
    if resaw and thickness <= one.board.resawn:
        under, _, more = _fill_layer(wanted, room, one, rules, thickness)
        used = max(used, more)
    return RoughCut(shortest_rough(used, rules), thickness, strips, resawn=bool(under), under=under)


def _fill_layer(
    wanted: Wanted, room: int, one: _Board, rules: Rules, thickness: int
) -> tuple[tuple[StripCut, ...], int, int]:
    """The strips side by side, of ``thickness`` where it is not 0; their thickness and the longest row of parts."""
    strips: list[StripCut] = []
    left = one.across + rules.rip_kerf
    longest, beside = room - slot(0, rules), strip_slot(0, rules)
    yields, marks = one.board.yields, one.marks
    most = 0
    while wanted:
        best = (False, 0, (0, 0))
        for section, items in wanted.items():
            width, thick = section
            if thick > yields or (thickness and thick != thickness) or width + beside > left:
                continue
            for length, mark in items:
                if length <= longest and (not mark or mark in marks):
                    best = max(best, (bool(mark), length, section))
                    if mark or not marks:
                        break
        section = best[2]
        if not best[1]:
            break
        thickness = section[1]
        parts, used = _fill_strip(wanted[section], room, one.marks, rules)
        if not wanted[section]:
            del wanted[section]
        strips.append(StripCut(section[0], parts))
        most = max(most, used)
        left -= strip_slot(section[0], rules)
    return tuple(strips), thickness, most


def shortest_rough(used: int, rules: Rules) -> int:
    """The shortest rough length on the grid that is milled at all and whose strips have room for ``used`` units of
    parts and kerfs."""
    held = max(rules.grip, rules.snipe)
    need = used + strip_head(rules) + held if held else used - rules.crosscut_kerf
    return -(-max(need, rules.shortest_rough, 1) // rules.grid) * rules.grid


def _fill_strip(
    items: dict[tuple[int, str], int], room: int, marks: tuple[str, ...], rules: Rules
) -> tuple[tuple[tuple[int, int], ...], int]:
    taken: dict[int, int] = {}
    used, beside = 0, slot(0, rules)
    order = sorted(items, key=lambda item: not item[1]) if marks else list(items)
    for key in order:
        length, mark = key
        takes = length + beside
        if takes > room - used or (mark and mark not in marks):
            continue
        fits = min(items[key], (room - used) // takes)
        if fits > 0:
            taken[length] = taken.get(length, 0) + fits
            used += fits * takes
            items[key] -= fits
            if not items[key]:
                del items[key]
    return tuple(sorted(taken.items(), reverse=True)), used
