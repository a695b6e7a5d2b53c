"""A cut plan for a whole job: wood by wood, the first at once, better ones for as long as they are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from planner.cutting.plan.bound import lots_of
from planner.cutting.plan.checker import faults_of
from planner.cutting.plan.limits import Says, bound_nowhere, check_makeable, short_of_stock
from planner.cutting.plan.terms import CutJob, CutPlan, CutPlanError, UnsoundPlanError, WoodFloor
from planner.cutting.plan.ways import Chosen, WoodJob, WoodPlans, by_wood, first_choice, named
from planner.cutting.plan.worth import settle


def first_cut_plan(job: CutJob, says: Says = str) -> CutPlan:
    """The best of five first-fit-decreasing runs for each wood, within milliseconds; its floors are empty.

    Raises CutPlanError naming the part and the limit where a part cannot be made at all, or what is left uncut where
    none of the runs finds room for it; a longer search may then still find some. ``says`` puts a length of the job
    into words for that.
    """
    check_makeable(job, says)
    chosen = []
    for of in by_wood(job, says):
        found, left = first_choice(of)
        if found is None:
            raise _none_found(of, left, says)
        chosen.append((of, found))
    return _sound(_whole(chosen, job), job)


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
    check_makeable(job, says)
    woods = [WoodPlans(of) for of in by_wood(job, says)]

    def state() -> tuple[tuple[int | None, int], ...]:
        return tuple((one.cost, one.floor) for one in woods)

    def plan() -> CutPlan:
        chosen = [(one.of, one.chosen) for one in woods if one.chosen is not None]
        return _whole(chosen, job, [one.proof for one in woods])

    told, good = None, None
    for _ in range(steps):
        open_ = [one for one in woods if not one.done]
        if not open_ or not keep_going():
            break
        # Whole numbers decide, so that no rounding does; a wood long worked at gives way to others.
        max(open_, key=lambda one: one.gap * 1000 // (1 + one.taken)).step(keep_going)
        if tell is not None and state() != told and all(one.chosen is not None for one in woods):
            told, made = state(), plan()
            if not faults_of(made, job):
                good = made
                tell(made)
    for one in woods:
        if one.chosen is None:
            raise _none_found(one.of, one.left, says)
    last = plan()
    return _sound(last if good is None or not faults_of(last, job) else good, job)


def _whole(chosen: Iterable[tuple[WoodJob, Chosen]], job: CutJob, floors: Iterable[WoodFloor] = ()) -> CutPlan:
    chosen = list(chosen)
    made = settle(
        (cut for of, one in chosen for cut in named(one, of)), {board.name: board for board in job.stock}, job.rules
    )
    on_edge = tuple(of.wood for of, one in chosen if one.way == "edge")
    bound_to = tuple((of.wood, word, board) for of, one in chosen for word, board in sorted(one.bound.items()))
    return CutPlan(made.boards, made.offcuts, made.boards_cost, made.credit, tuple(floors), on_edge, bound_to)


def _none_found(of: WoodJob, left: dict[tuple[int, int], dict[tuple[int, str], int]], says: Says) -> CutPlanError:
    """What is left uncut; where nothing is, it was the wish for one board that no plan was found for."""
    if lots_of(of.parts) and not left:
        return bound_nowhere(of.wood, list(lots_of(of.parts)))
    return short_of_stock(of.wood, left, says)


def _sound(plan: CutPlan, job: CutJob) -> CutPlan:
    faults = faults_of(plan, job)
    if faults:
        raise UnsoundPlanError(
            f"The plan did not pass the check that every plan has to pass: {faults[0]}",
            mend="Plan again; a plan kept before stands as it is.",
            field="plan",
        )
    return plan
