"""A cut plan for a whole job: wood by wood, the first at once, better ones for as long as they are asked for."""

from __future__ import annotations

from collections.abc import Callable

from planner.cutting.plan.checker import faults_of
from planner.cutting.plan.limits import Says, check_makeable, short_of_stock
from planner.cutting.plan.terms import BoardCut, CutJob, CutPlan, Part, StockBoard, UnsoundPlanError
from planner.cutting.plan.worth import settle


def first_cut_plan(job: CutJob, says: Says = str) -> CutPlan:
    """The best of five first-fit-decreasing runs for each wood, within milliseconds; its floors are empty.

    Raises CutPlanError naming the part and the limit where a part cannot be made at all, or what is left uncut where
    none of the runs finds room for it; a longer search may then still find some. ``says`` puts a length of the job
    into words for that.
    """
    from planner.cutting.plan.first import first_plan

    check_makeable(job, says)
    cuts: list[BoardCut] = []
    for wood, parts, stock in _by_wood(job):
        found, left = first_plan(parts, stock, job.rules)
        if found is None:
            raise short_of_stock(wood, left, says)
        cuts += found
    return _sound(settle(cuts, {board.name: board for board in job.stock}, job.rules), job)


def plan_cuts(
    job: CutJob,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 2000,
    tell: Callable[[CutPlan], None] | None = None,
    says: Says = str,
) -> CutPlan:
    """The cheapest plan found before ``keep_going`` says no, ``steps`` are gone, or every wood is proved or tried out.

    The wood with the widest gap between cost and floor for the steps it has had is worked at next, so equal steps
    give an equal plan. ``keep_going`` is asked before every step and within the solver's longer ones. ``tell`` gets
    every plan that is cheaper than the one before or whose floor is higher. Each plan told or returned has its cost
    summed anew from its cuts and has passed the checker. Raises CutPlanError as ``first_cut_plan`` does, and
    UnsoundPlanError where not one plan passed.
    """
    from planner.cutting.plan.search import WoodSearch

    check_makeable(job, says)
    shelf = {board.name: board for board in job.stock}
    searches = [WoodSearch(wood, parts, stock, job.rules) for wood, parts, stock in _by_wood(job)]

    def state() -> tuple[tuple[int | None, int], ...]:
        return tuple((one.cost, one.floor) for one in searches)

    def plan() -> CutPlan:
        made = settle((cut for one in searches for cut in one.cuts or ()), shelf, job.rules)
        proofs = tuple(one.proof for one in searches)
        return CutPlan(made.boards, made.offcuts, made.boards_cost, made.credit, proofs)

    told, good = None, None
    for _ in range(steps):
        open_ = [one for one in searches if not one.done]
        if not open_ or not keep_going():
            break
        # Whole numbers decide, so that no rounding does; a wood long worked at gives way to others.
        max(open_, key=lambda one: one.gap * 1000 // (1 + one.taken)).step(keep_going)
        if tell is not None and state() != told and all(one.cuts is not None for one in searches):
            told, made = state(), plan()
            if not faults_of(made, job):
                good = made
                tell(made)
    for one in searches:
        if one.cuts is None:
            raise short_of_stock(one.problem.wood, one.left, says)
    last = plan()
    return _sound(last if good is None or not faults_of(last, job) else good, job)


def _by_wood(job: CutJob) -> list[tuple[str, tuple[Part, ...], tuple[StockBoard, ...]]]:
    woods = dict.fromkeys(part.wood for part in job.parts if part.count > 0)
    return [
        (wood, tuple(p for p in job.parts if p.wood == wood), tuple(b for b in job.stock if b.wood == wood))
        for wood in woods
    ]


def _sound(plan: CutPlan, job: CutJob) -> CutPlan:
    faults = faults_of(plan, job)
    if faults:
        raise UnsoundPlanError(
            f"The plan did not pass the check that every plan has to pass: {faults[0]}",
            mend="Plan again; a plan kept before stands as it is.",
            field="plan",
        )
    return plan
