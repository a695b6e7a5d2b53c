"""One wood's plans whichever way its strips may be ripped and whichever board bound parts come from.

Face up, strips are as wide as the parts and milled to their thickness; on edge, they are as wide as the parts are thick
and milled to their width, then turned. Every way has a search of its own, and where parts are bound to one board every
choice of boards has one too; the cheapest of all plans is the wood's, and the floor is the least of the ways' floors.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.cutting.plan.bound import choices, holders, lots_of
from planner.cutting.plan.first import Wanted, first_plan
from planner.cutting.plan.limits import Says, ways_open
from planner.cutting.plan.marks import NONE, Bound
from planner.cutting.plan.naming import with_pieces
from planner.cutting.plan.problem import problem_of
from planner.cutting.plan.terms import SCALE, BoardCut, CutJob, Leaf, Part, Prices, Rules, StockBoard, WoodFloor
from planner.cutting.plan.ties import Rank
from planner.cutting.plan.worth import settle

if TYPE_CHECKING:
    from planner.cutting.plan.search import WoodSearch

# How many choices of boards for bound parts are searched side by side.
_SIDE_BY_SIDE = 3
# First-fit runs with every choice of boards, and in all, when a first plan is wanted at once.
_RUNS = 5


@dataclass(frozen=True, slots=True)
class WoodJob:
    """The ``parts`` of one wood, the boards they may come from, and the ``ways`` in which every part can be made."""

    wood: str
    parts: tuple[Part, ...]
    stock: tuple[StockBoard, ...]
    rules: Rules
    ways: tuple[str, ...]
    closed: tuple[tuple[str, Part], ...]

    def ripped(self, way: str) -> tuple[Part, ...]:
        return turned(self.parts) if way == "edge" else self.parts


@dataclass(frozen=True, slots=True)
class Chosen:
    """A plan of one wood: its ``cuts``, the way its strips are ripped, the board each lot of bound parts comes from."""

    cuts: tuple[BoardCut, ...]
    cost: int
    way: str
    bound: Bound


def turned(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """The parts as their strips are ripped on edge: width and thickness change places."""
    return tuple(replace(part, width=part.thickness, thickness=part.width) for part in parts)


def by_wood(job: CutJob, says: Says = str) -> list[WoodJob]:
    """The job wood by wood. Raises CutPlanError where a part can be made in none of its wood's ways."""
    jobs = []
    for wood in dict.fromkeys(part.wood for part in job.parts if part.count > 0):
        parts = tuple(part for part in job.parts if part.wood == wood)
        open_, closed = ways_open(wood, job, says)
        stock = tuple(board for board in job.stock if board.wood == wood)
        jobs.append(WoodJob(wood, parts, stock, job.rules, open_, closed))
    return jobs


def first_choice(of: WoodJob) -> tuple[Chosen | None, Wanted]:
    """The cheapest first plan of one wood, and what is left uncut where there is none: nothing, where it is only the
    wish for one board that is in the way."""
    best: Chosen | None = None
    shelf = {board.name: board for board in of.stock}
    least: Wanted = {}
    lots = lots_of(of.parts)
    for way in of.ways:
        parts = of.ripped(way)
        plans = choices(parts, of.stock, of.rules, 1) if lots else [NONE]
        for bound in plans:
            cuts, left = first_plan(parts, of.stock, of.rules, bound, _RUNS)
            least = least or left
            if cuts is not None:
                cost = settle(cuts, shelf, of.rules).cost
                if best is None or cost < best.cost:
                    best = Chosen(cuts, cost, way, bound)
    if best is None and lots and any(first_plan(of.ripped(way), of.stock, of.rules)[0] for way in of.ways):
        return None, {}
    return best, {} if best is not None else least


def named(chosen: Chosen, of: WoodJob) -> tuple[BoardCut, ...]:
    """The cuts with the parts told that are cut apart at last."""
    return with_pieces(chosen.cuts, of.ripped(chosen.way), {board.name: board for board in of.stock}, chosen.bound)


class WoodPlans:
    """Plans of one wood, better from step to step, over all its searches; ``chosen`` the best so far, ``floor`` what no
    plan undercuts in money units, ``taken`` how many steps there were."""

    def __init__(self, of: WoodJob) -> None:
        from planner.cutting.plan.search import WoodSearch

        self.of = of
        self.chosen: Chosen | None = None
        self._rank: Rank | None = None
        self.taken = 0
        self._shelf = {board.name: board for board in of.stock}
        self._lots = bool(lots_of(of.parts))
        # Searches that leave bound parts free prove the floor; those that bind them follow, the most promising first.
        self._free = [(way, WoodSearch(of.wood, of.ripped(way), of.stock, of.rules)) for way in of.ways]
        self._held: list[tuple[str, Bound, WoodSearch]] = []
        self._waiting: list[tuple[str, Bound]] = []
        if self._lots:
            # Those a first plan is made with lead, so that no plan told later is dearer than the first.
            quick = [(way, choices(of.ripped(way), of.stock, of.rules, 1)) for way in of.ways]
            ranked = [
                (way, first + [one for one in choices(of.ripped(way), of.stock, of.rules, 2) if one not in first])
                for way, first in quick
            ]
            longest = max((len(bounds) for _, bounds in ranked), default=0)
            self._waiting = [(way, bounds[i]) for i in range(longest) for way, bounds in ranked if i < len(bounds)]
            self._call_in()
        for way, search in self._free:
            self._look(way, None, search)

    @property
    def cost(self) -> int | None:
        return self.chosen.cost if self.chosen is not None else None

    @property
    def floor(self) -> int:
        return min(search.floor for _, search in self._free)

    @property
    def gap(self) -> int:
        """Money units between the best plan and the floor; more than any other while there is no plan."""
        return self.chosen.cost - self.floor if self.chosen is not None else 10**18

    @property
    def left(self) -> Wanted:
        """What the first plan left uncut."""
        return self._free[0][1].left

    @property
    def done(self) -> bool:
        return not self._open() or (self.chosen is not None and self.floor >= self.chosen.cost)

    @property
    def proof(self) -> WoodFloor:
        told = [(search.floor, replace(search.proof.prices, way=way)) for way, search in self._free]
        told.sort(key=lambda one: one[0])
        closed = tuple(_closed(way, part, self.of) for way, part in self.of.closed)
        others = (*(prices for _, prices in told[1:]), *closed)
        return WoodFloor(self.of.wood, told[0][0], told[0][1], others, ("bound",) if self._lots else ())

    def step(self, keep_going: Callable[[], bool]) -> None:
        """One step further in the search that has had the fewest."""
        self.taken += 1
        way, bound, search = min(self._open(), key=lambda one: one[2].taken)
        search.step(keep_going)
        self._look(way, bound, search)
        self._call_in()

    def _open(self) -> list[tuple[str, Bound | None, WoodSearch]]:
        every = [*((way, None, search) for way, search in self._free), *self._held]
        return [one for one in every if not one[2].done and (self.chosen is None or one[2].floor < self.chosen.cost)]

    def _call_in(self) -> None:
        """Begin searches for further choices of boards, while fewer go on than are to go on side by side."""
        from planner.cutting.plan.search import WoodSearch

        while self._waiting and sum(one in self._held for one in self._open()) < _SIDE_BY_SIDE:
            way, bound = self._waiting.pop(0)
            search = WoodSearch(self.of.wood, self.of.ripped(way), self.of.stock, self.of.rules, bound)
            self._held.append((way, bound, search))
            self._look(way, bound, search)

    def _look(self, way: str, bound: Bound | None, search: WoodSearch) -> None:
        """Take the search's best plan where it is better than all before and bound parts come from one board."""
        if search.cuts is None or search.rank is None or (self._rank is not None and search.rank >= self._rank):
            return
        if bound is None:
            bound = holders(search.cuts, self.of.ripped(way), self._shelf)
        if bound is not None:
            self.chosen, self._rank = Chosen(search.cuts, search.rank[0], way, bound), search.rank


def _closed(way: str, part: Part, of: WoodJob) -> Prices:
    """Prices that prove that no plan goes the ``way`` in which ``part`` cannot be made: it alone has a price, which is
    more than all boards cost and all that is kept of them is worth."""
    problem = problem_of(of.wood, of.ripped(way), of.stock, of.rules)
    kept = sum(board.width * board.length * board.worth // of.rules.worth_area + 1 for board in of.stock)
    dear = SCALE * (sum(board.cost for board in of.stock) + kept + 1)
    ripped = turned((part,))[0] if way == "edge" else part
    asked = (ripped.width, ripped.thickness, ripped.length, part.shade)
    prices = tuple(
        dear if (*size, shade) == asked else 0 for size, shade in zip(problem.sizes, problem.shades, strict=True)
    )
    every = tuple(len(kind.names) for kind in problem.kinds)
    leaf = Leaf((0,) * len(every), every, prices, (), (), ())
    shades = problem.shades if any(problem.shades) else ()
    kinds = tuple(kind.names for kind in problem.kinds)
    return Prices(of.wood, problem.sizes, kinds, (), (leaf,), shades, way)
