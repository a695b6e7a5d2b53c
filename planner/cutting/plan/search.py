"""The search for one wood: a first plan, columns where they pay, whole plans from them, branching on boards opened.

The plain relaxation buys a fifth of a board where one is needed, so its bound says little. Cut apart by how many
boards of each kind are opened, the boxes bound well; the least of their bounds is the floor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil

from planner.cutting.plan.boxes import ANY, Box, Reason, prices_of
from planner.cutting.plan.checker import faults_of
from planner.cutting.plan.columns import RoughCol, StripCol
from planner.cutting.plan.cuts import columns_of, cuts_of
from planner.cutting.plan.dive import dive
from planner.cutting.plan.enrich import more_columns, nearby_columns
from planner.cutting.plan.first import Wanted, first_plan, varied_plans
from planner.cutting.plan.growing import grow
from planner.cutting.plan.losses import losses
from planner.cutting.plan.marks import NONE, Bound
from planner.cutting.plan.master import Column, Master, cost_of
from planner.cutting.plan.pricing import Pricing
from planner.cutting.plan.problem import Problem, problem_of
from planner.cutting.plan.rip_branching import choose
from planner.cutting.plan.terms import SCALE, BoardCut, CutJob, Part, Rules, StockBoard, WoodFloor
from planner.cutting.plan.ties import Rank, rank_of, settle_ties
from planner.cutting.plan.whole import whole_plan
from planner.cutting.plan.worth import settle

_ROUNDS = 200
# Boxes looked into by boards before what is left open is left to its bound; and by what is ripped, in one turn of many.
_MOST_PARTED = 400
_PARTED = 12
_TURNS = 12
# Boxes dived into in one turn; boxes whole plans are sought near, among so many columns.
_DIVES, _MORE_DIVES = 2, 6
# More dives are made while a plan costs more than a share of this much above the floor.
_FAR = 50
_LAST_BOXES = 2
_COLUMNS, _MOST_COLUMNS = 600, 6000
# How often the solver looks up in one search for a whole plan, at first and at the most.
_LOOKS, _MOST_LOOKS = 100, 1600
# How often, at the most, what lies near the best plan is looked through.
_NEARBY = 3
# Plans by habit lend their cuts to better ones where they cost no more than a share of this much above the best.
_NEAR = 20
# So many boxes lend their boards to plans by habit; a board of which the relaxation has less than this is none.
_WITHIN, _A_LITTLE = 6, 1e-6


class WoodSearch:
    """Plans of one wood, better from step to step; ``cuts`` the best so far (None before there is one), ``cost`` its
    cost, ``floor`` what no plan undercuts, both in money units; ``rank`` its cost with what decides between plans that
    cost the same; ``taken`` how many steps there were, ``done`` once nothing more is tried."""

    def __init__(
        self,
        wood: str,
        parts: tuple[Part, ...],
        stock: tuple[StockBoard, ...],
        rules: Rules,
        bound: Bound = NONE,
    ) -> None:
        self.problem: Problem = problem_of(wood, parts, stock, rules, bound)
        self._parts, self._stock, self._bound = parts, stock, bound
        # Which boards bound parts come from and what is cut apart at last is asked of the plan as a whole.
        self._job = CutJob(tuple(replace(part, bound="", pieces=()) for part in parts), stock, rules)
        self.shelf = {board.name: board for board in stock}
        self.cuts: tuple[BoardCut, ...] | None
        self.cost: int | None
        self.left: Wanted
        first, self.left = first_plan(parts, stock, rules, bound)
        self.cuts, self.cost = None, None
        self.rank: Rank | None = None
        # Where not every board will do for every part, a part stays on its board when ties are settled.
        self._apart = bool(bound) or any(part.shade or part.bound for part in parts)
        if first is not None:
            self._take(first)
        self.done = False
        self.taken = 0
        kinds = self.problem.kinds
        none = [0] * len(self.problem.sizes)
        every = tuple(len(k.names) for k in kinds)
        # With every part priced at nothing, a board gives only its credit; where that is less than its cost, 0 holds.
        nothing = self._reason(Pricing(self.problem, none, {}), none, every)
        self._root = Box((0,) * len(kinds), every, {}, nothing)
        self._open = [self._root]
        self._closed: list[Box] = []
        self._steps: Iterator[None] | None = None
        self._keep_going: Callable[[], bool] = lambda: True
        self._dived: dict[Box, int] = {}
        self._varied: set[int] = set()
        self._tried: set[tuple[Box, int, int]] = set()
        self._wide = _COLUMNS

    # What is told

    @property
    def floor(self) -> int:
        return max(-(-min(box.bound for box in self._boxes) // SCALE), 0)

    @property
    def gap(self) -> int:
        """Money units between the best plan and the floor; more than any other while there is no plan."""
        return self.cost - self.floor if self.cost is not None else 10**18

    @property
    def _boxes(self) -> list[Box]:
        return self._open + self._closed

    @property
    def proof(self) -> WoodFloor:
        return WoodFloor(self.problem.wood, self.floor, prices_of(self._root, self.floor, self.problem))

    # Steps

    def step(self, keep_going: Callable[[], bool]) -> None:
        """One step further: one relaxation with its columns, or one search for a whole plan."""
        self.taken += 1
        self._keep_going = keep_going
        if self._steps is None:
            self._steps = self._walk()
        if next(self._steps, self) is self or (self.cost is not None and self.floor >= self.cost):
            self.done = True

    def _walk(self) -> Iterator[None]:
        master = self._master = Master(self.problem)
        if self.cuts is not None:
            for column in columns_of(self.cuts, self.problem, self.shelf):
                master.add(column)
        self._vary(self._stock)
        yield
        yield from self._part(Box.by_boards, _MOST_PARTED)
        yield from self._vary_within()
        yield from self._dive()
        yield from self._look_nearby()
        self._open, self._closed = self._open + self._closed, []
        looks = _LOOKS
        for _ in range(_TURNS):
            yield from self._part(self._by_rips, _PARTED)
            yield from self._dive()
            yield from self._look_nearby()
            yield from self._look_far(looks)
            looks = min(looks * 2, _MOST_LOOKS)
            if all(self._beaten(box) for box in self._open):
                break
        yield from self._look_far(2 * _MOST_LOOKS)

    def _vary(self, stock: tuple[StockBoard, ...]) -> None:
        """Plans by habit out of these boards, which lend their cuts to better ones."""
        for cuts in varied_plans(self._parts, stock, self.problem.rules, self._bound):
            if not self._keep_going():
                break
            # Nearly all come out as one did before.
            if (known := hash(cuts)) in self._varied:
                continue
            self._varied.add(known)
            cost = self._cost_of(cuts)
            if self.cost is None or cost < self.cost + self.cost // _NEAR:
                for column in columns_of(cuts, self.problem, self.shelf):
                    self._master.add(column)
            self._take(cuts)

    def _vary_within(self) -> Iterator[None]:
        """The same out of the very boards that the boxes of the least bounds open, which no order of all boards may
        have begun with: parts that only just fit some boards are laid sooner than they are put together."""
        tried = set()
        for box in sorted(self._boxes, key=lambda b: b.bound)[:_WITHIN]:
            if self._beaten(box):
                break
            kinds = zip(self.problem.kinds, box.used, strict=False)
            names = frozenset(name for kind, used in kinds for name in kind.names[: ceil(used - _A_LITTLE)])
            if names and names not in tried:
                tried.add(names)
                self._vary(tuple(board for board in self._stock if board.name in names))
                yield

    def _part(self, parted: Callable[[Box], tuple[Box, ...]], most: int) -> Iterator[None]:
        """Branch on the open boxes, the least bound first."""
        done = 0
        while self._open and done < most:
            box = min(self._open, key=lambda b: b.bound)
            if self._beaten(box):
                break
            yield from self._relax(box)
            self._open.remove(box)
            box.parted = () if self._beaten(box) else parted(box)
            self._open += box.parted
            if not box.parted:
                self._closed.append(box)
            done += 1

    def _dive(self) -> Iterator[None]:
        """Whole plans straight down from the boxes of the least bounds that were not dived into yet; and while the best
        plan is far off the floor, from those of the least bounds by other turns."""
        boxes = sorted(self._boxes, key=lambda b: b.bound)
        fresh = [(box, 0) for box in boxes if box not in self._dived][:_DIVES]
        for box, turns in fresh + [(box, -1) for box in boxes[:1] for _ in range(_MORE_DIVES)]:
            if self._beaten(box) or (turns < 0 and self.gap * _FAR < self.floor):
                break
            turns = self._dived[box] = self._dived.get(box, -1) + 1
            columns = yield from dive(self._master, box.no_more_boards(), self._keep_going, turns)
            if columns:
                self._take(cuts_of(columns, self.problem, self.shelf))

    def _look_nearby(self) -> Iterator[None]:
        """What lies near the best plan: a rough length longer or shorter, its strips divided anew."""
        for _ in range(_NEARBY):
            before = self.cost
            box = min(self._boxes, key=lambda b: b.bound)
            if self.cuts is None or self._beaten(box):
                break
            mine = list(columns_of(self.cuts, self.problem, self.shelf))
            self._whole(box, _LOOKS, list(nearby_columns(self.problem, mine)))
            yield
            if self.cost == before:
                break

    def _look_far(self, looks: int) -> Iterator[None]:
        for box in sorted(self._boxes, key=lambda b: b.bound)[:_LAST_BOXES]:
            if not self._beaten(box):
                self._whole(box, looks, [])
                yield

    def _beaten(self, box: Box) -> bool:
        """No plan in the box is cheaper than the best there is."""
        return self.cost is not None and -(-box.bound // SCALE) >= self.cost

    def _relax(self, box: Box) -> Iterator[None]:
        self._master.limit(box)
        for _ in range(_ROUNDS):
            relaxed = self._master.relax()
            box.used = relaxed.used
            # A price above nought needs a most to hold it down, one below a least to be good for anything.
            spans = {count: box.spans.get(count, ANY) for count in relaxed.paid}
            paid = {c: p for c, p in relaxed.paid.items() if (spans[c][1] >= 0 if p > 0 else spans[c][0] > 0)}
            pricing = Pricing(self.problem, relaxed.parts, paid)
            box.learn(self._reason(pricing, relaxed.parts, box.high))
            added = grow(self._master, relaxed, pricing, box.high)
            yield
            if not added or self._beaten(box):
                return

    def _reason(self, pricing: Pricing, prices: list[int], high: tuple[int, ...]) -> Reason:
        # What a board gains of which none may be opened is never asked.
        gains = tuple(
            pricing.board(kind) - kind.cost * SCALE if most else 0
            for kind, most in zip(self.problem.kinds, high, strict=True)
        )
        total = sum(price * need for price, need in zip(prices, self.problem.demand, strict=True))
        return Reason(tuple(prices), pricing.paid, gains, total)

    def _by_rips(self, box: Box) -> tuple[Box, ...]:
        """A box parted by what is ripped and kept, once its boards are whole."""
        boards = box.by_boards()
        if boards:
            return boards
        count = choose(self._master, box)
        return box.by_count(count) if count is not None else ()

    # Whole plans

    def _whole(self, box: Box, looks: int, others: list[Column]) -> None:
        """The best plan of columns that lose little at the prices of the ``box``, of the ``others`` too."""
        problem, master = self.problem, self._master
        pricing = Pricing(problem, box.reason.prices, box.reason.paid)
        mine = dict.fromkeys(columns_of(self.cuts, problem, self.shelf), -1) if self.cuts is not None else {}
        costs = dict(master.every())
        near = [column for column, loss in losses(costs, box, pricing).items() if loss < SCALE]
        rough = sorted({(c.family, c.step) for c in [*mine, *near] if isinstance(c, RoughCol)})
        strips = sorted({(c.section, c.stuff, c.step) for c in [*mine, *near] if isinstance(c, StripCol)})
        for column in (*more_columns(problem, rough, strips), *others, *mine):
            if column not in costs:
                costs[column] = cost_of(column, problem)
        most = self.cost * SCALE - box.bound if self.cost is not None else 10**18
        lost = losses(costs, box, pricing) | mine
        ranked = sorted((loss, i, column) for i, (column, loss) in enumerate(lost.items()) if loss < most)
        chosen = [(column, costs[column]) for _, _, column in ranked[: self._wide]]
        tried = (box, len(chosen), len(costs))
        if tried in self._tried:
            return
        columns, ended = whole_plan(problem, chosen, looks, self._keep_going)
        # About as many columns as the solver comes to an end with.
        self._wide = min(self._wide * 2, _MOST_COLUMNS) if ended else max(self._wide * 2 // 3, _COLUMNS)
        if ended:
            self._tried.add(tried)
        if columns:
            self._take(cuts_of(columns, problem, self.shelf))

    def _take(self, cuts: tuple[BoardCut, ...]) -> None:
        """Keep a plan that is better than the best so far and can be cut as it says."""
        rules = self.problem.rules
        if self.cost is not None and settle(cuts, self.shelf, rules).cost > self.cost:
            return
        cuts = settle_ties(cuts, self.shelf, rules, self._apart)
        rank = rank_of(cuts, self.shelf, rules)
        if (self.rank is None or rank < self.rank) and not faults_of(settle(cuts, self.shelf, rules), self._job):
            self.cuts, self.cost, self.rank = cuts, rank[0], rank

    def _cost_of(self, cuts: tuple[BoardCut, ...]) -> int:
        return settle(cuts, self.shelf, self.problem.rules).cost
