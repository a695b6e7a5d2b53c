"""The search for one wood: a first plan, columns where they pay, whole plans from them, branching on boards opened.

The plain relaxation buys a fifth of a board where one is needed, so its bound says little. Cut apart by how many
boards of each kind are opened, the boxes bound well; the least of their bounds is the floor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from planner.cutting.plan.boxes import ANY, Box, Reason, prices_of
from planner.cutting.plan.checker import faults_of
from planner.cutting.plan.cuts import columns_of, cuts_of
from planner.cutting.plan.enrich import more_columns, nearby_columns
from planner.cutting.plan.first import Wanted, first_plan, varied_plans
from planner.cutting.plan.marks import NONE, Bound
from planner.cutting.plan.master import Master, Relaxed
from planner.cutting.plan.pricing import Pricing
from planner.cutting.plan.problem import Family, Problem, problem_of
from planner.cutting.plan.rip_branching import choose
from planner.cutting.plan.terms import SCALE, BoardCut, CutJob, Part, Rules, StockBoard, WoodFloor
from planner.cutting.plan.worth import settle

# A column has to save at least this much, in 1/SCALE of a money unit, to be worth having.
_SAVES = SCALE // 2
_ROUNDS = 200
# Boxes looked into before what is left open is left to its bound.
_MOST_PARTED = 400
# Whole plans are first sought among this many columns, and at the end near this many boxes.
_COLUMNS = 500
_LAST_BOXES = 3
# How often, at the most, what lies near the best plan is looked through.
_NEARBY = 6
# Plans by habit lend their cuts to better ones where they cost no more than a share of this much above the best.
_NEAR = 20


class WoodSearch:
    """Plans of one wood, better from step to step; ``cuts`` the best so far (None before there is one), ``cost`` its
    cost, ``floor`` what no plan undercuts, both in money units; ``taken`` how many steps
    there were, ``done`` once nothing more is tried."""

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
        if first is not None:
            self._take(first)
        self.done = False
        self.taken = 0
        kinds = self.problem.kinds
        none = [0] * len(self.problem.sizes)
        every = tuple(len(k.names) for k in kinds)
        # With every part priced at nothing, a board gives only its credit; where that is less than its cost, 0 holds.
        nothing = self._reason(Pricing(self.problem, none, {}), none)
        self._root = Box((0,) * len(kinds), every, {}, nothing)
        self._open = [self._root]
        self._closed: list[Box] = []
        self._steps: Iterator[None] | None = None
        # How many columns there were when the solver last found the best whole plan near a box, by box and columns.
        self._solved: dict[tuple[object, ...], int] = {}

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
        if self._steps is None:
            self._steps = self._walk(keep_going)
        if next(self._steps, self) is self or (self.cost is not None and self.floor >= self.cost):
            self.done = True

    def _walk(self, keep_going: Callable[[], bool]) -> Iterator[None]:
        master = self._master = Master(self.problem)
        if self.cuts is not None:
            for column in columns_of(self.cuts, self.problem, self.shelf):
                master.add(column)
        for cuts in varied_plans(self._parts, self._stock, self.problem.rules, self._bound):
            if not keep_going():
                break
            cost = self._cost_of(cuts)
            if self.cost is None or cost < self.cost + self.cost // _NEAR:
                for column in columns_of(cuts, self.problem, self.shelf):
                    master.add(column)
            self._take(cuts)
        yield
        yield from self._part(Box.by_boards, _MOST_PARTED, keep_going)
        yield from self._look_nearby(keep_going)
        yield from self._look_far(keep_going, ((200, _COLUMNS), (400, 2 * _COLUMNS)))
        self._open, self._closed = self._open + self._closed, []
        yield from self._part(self._by_rips, _MOST_PARTED, keep_going)
        yield from self._look_nearby(keep_going)
        yield from self._look_far(keep_going, ((1600, 4 * _COLUMNS), (6400, 8 * _COLUMNS)))

    def _part(
        self, parted: Callable[[Box], tuple[Box, ...]], most: int, keep_going: Callable[[], bool]
    ) -> Iterator[None]:
        """Branch on the open boxes, the least bound first, with a whole plan sought now and then."""
        looks, done, next_whole = 100, 0, 4
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
            if done == next_whole:
                self._whole(min(self._boxes, key=lambda b: b.bound), looks, _COLUMNS, keep_going)
                next_whole, looks = next_whole * 2 + 4, looks * 2
                yield

    def _look_nearby(self, keep_going: Callable[[], bool]) -> Iterator[None]:
        for _ in range(_NEARBY):
            before = self.cost
            box = min(self._boxes, key=lambda b: b.bound)
            if self.cuts is None or self._beaten(box):
                break
            for column in list(nearby_columns(self.problem, list(columns_of(self.cuts, self.problem, self.shelf)))):
                self._master.add(column)
            self._whole(box, 150, _COLUMNS, keep_going)
            yield
            if self.cost == before:
                break

    def _look_far(self, keep_going: Callable[[], bool], ways: tuple[tuple[int, int], ...]) -> Iterator[None]:
        for looks, most in ways:
            for box in sorted(self._boxes, key=lambda b: b.bound)[:_LAST_BOXES]:
                if not self._beaten(box):
                    self._whole(box, looks, most, keep_going)
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
            box.learn(self._reason(pricing, relaxed.parts))
            added = self._grow(relaxed, pricing)
            yield
            if not added or self._beaten(box):
                return

    def _reason(self, pricing: Pricing, prices: list[int]) -> Reason:
        gains = tuple(pricing.board(kind) - kind.cost * SCALE for kind in self.problem.kinds)
        total = sum(price * need for price, need in zip(prices, self.problem.demand, strict=True))
        return Reason(tuple(prices), pricing.paid, gains, total)

    def _grow(self, relaxed: Relaxed, pricing: Pricing) -> bool:
        """Add every column that saves at these prices; True if there was one."""
        master, problem = self._master, self.problem
        added = False
        fresh: set[tuple[Family, int]] = set()
        for i, kind in enumerate(problem.kinds):
            if pricing.board(kind) - kind.cost * SCALE + relaxed.boards[i] > _SAVES:
                column = pricing.board_col(i)
                if master.add(column):
                    added = True
                    fresh |= {(one.family, one.step) for one in column.steps}
        for key in sorted(fresh | set(master.rough_rows)):
            family, step = key
            if int(pricing.rough(family)[step]) > relaxed.rough.get(key, 0) + _SAVES or key in fresh:
                rough = pricing.rough_col(family, step)
                if (rough.strips or family.layers > 1) and master.add(rough):
                    added = True
        for section, stuff, step in sorted(master.strip_rows):
            worth_it = relaxed.strips.get((section, stuff, step), 0) + _SAVES
            if int(pricing.strip(section, stuff)[step]) > worth_it:
                strip = pricing.strip_col(section, stuff, step)
                if master.add(strip):
                    added = True
        return added

    def _by_rips(self, box: Box) -> tuple[Box, ...]:
        """A box parted by what is ripped and kept, once its boards are whole."""
        boards = box.by_boards()
        if boards:
            return boards
        count = choose(self._master, box)
        return box.by_count(count) if count is not None else ()

    # Whole plans

    def _whole(self, box: Box, looks: int, most: int, keep_going: Callable[[], bool]) -> None:
        master = self._master
        for column in list(more_columns(self.problem, sorted(master.rough_rows), sorted(master.strip_rows))):
            master.add(column)
        key = (box, min(most, len(master.columns)))
        if self._solved.get(key) == len(master.columns):
            return
        master.limit(box)
        mine = set(columns_of(self.cuts, self.problem, self.shelf)) if self.cuts is not None else set()
        columns, ended = master.whole(looks, most, keep_going, mine)
        if ended:
            self._solved[key] = len(master.columns)
        if columns:
            self._take(cuts_of(columns, self.problem, self.shelf))

    def _take(self, cuts: tuple[BoardCut, ...]) -> None:
        """Keep a plan that is cheaper than the best so far and can be cut as it says."""
        plan = settle(cuts, self.shelf, self.problem.rules)
        if (self.cost is None or plan.cost < self.cost) and not faults_of(plan, self._job):
            self.cuts, self.cost = cuts, plan.cost

    def _cost_of(self, cuts: tuple[BoardCut, ...]) -> int:
        return settle(cuts, self.shelf, self.problem.rules).cost
