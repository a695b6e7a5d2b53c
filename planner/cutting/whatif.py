"""What if a maker bought this board: the plan without it beside the plan with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from planner.cutting.fromshop import Piece, stock_board, unit_of
from planner.cutting.plan import CutFile, CutJob, CutPlan, CutPlanError, StockBoard, first_cut_plan, plan_cuts
from planner.shop import Shop

# Steps of the search for each of the two plans, where the caller sets no others.
STEPS = 400


@dataclass(frozen=True, slots=True)
class WhatIf:
    """``before`` without and ``after`` with the boards, None where no plan was found, ``lacks`` then saying why of the
    one with them, or of the one without. ``used`` are those of the boards the plan with them opens, ``paid`` what
    these cost. ``saved`` is what the plan with them costs less by the book, what is paid counted in; never below
    nought, for nobody has to cut a board that does not help. Money in the file's units."""

    before: CutPlan | None
    after: CutPlan | None
    used: tuple[str, ...]
    paid: int
    saved: int | None
    lacks: str = ""


def to_buy(
    file: CutFile, pieces: Sequence[Piece], shop: Shop, *, resaw: bool = False, exponent: int = 2
) -> tuple[StockBoard, ...]:
    """Boards that are not there yet in the file's units, named "to buy 1" and on from those it has already."""
    unit = unit_of(file.unit)
    names = {board.name for board in file.job.stock}
    free = (name for name in (f"to buy {n}" for n in range(1, len(names) + len(pieces) + 1)) if name not in names)
    return tuple(
        stock_board(replace(piece, mark=name), shop, unit, resaw=resaw, exponent=exponent)
        for piece, name in zip(pieces, free, strict=False)
    )


def what_if(
    file: CutFile,
    bought: Sequence[StockBoard],
    keep_going: Callable[[], bool] = lambda: True,
    *,
    steps: int = STEPS,
    says: Callable[[int], str] = str,
) -> WhatIf:
    """Plan the file's job as it is, or take the plan in it, and once more with ``bought`` boards beside its stock.

    Both searches take ``steps`` at the most and are stopped by ``keep_going``. A plan that does without the boards may
    still be followed once they are there, so that the one with them is never the dearer. Raises nothing for a job
    that cannot be made: ``lacks`` says why.

    >>> from planner.cutting.plan import Part, Rules
    >>> rules = Rules(crosscut_kerf=3, rip_kerf=3)
    >>> job = CutJob((Part("oak", 20, 20, 200, 4),), (StockBoard("A", "oak", 20, 900, 25, 50),), rules)
    >>> answer = what_if(CutFile(job), [StockBoard("to buy 1", "oak", 20, 900, 25, 30)])
    >>> answer.used, answer.saved, answer.paid
    (('to buy 1',), 20, 30)
    """
    before, lacks = (file.plan, "") if file.plan is not None else _best(file.job, keep_going, steps, says)
    more = replace(file.job, stock=(*file.job.stock, *bought))
    after, still = _best(more, keep_going, steps, says)
    if before is not None and (after is None or after.cost >= before.cost):
        # What was proved without the boards is not proved with them.
        after = replace(before, floors=())
    costs = {board.name: board.cost for board in bought}
    used = tuple(cut.board for cut in after.boards if cut.board in costs) if after else ()
    saved = before.cost - after.cost if before is not None and after is not None else None
    return WhatIf(before, after, used, sum(costs[name] for name in used), saved, still if after is None else lacks)


def _best(
    job: CutJob, keep_going: Callable[[], bool], steps: int, says: Callable[[int], str]
) -> tuple[CutPlan | None, str]:
    try:
        if not keep_going():
            return first_cut_plan(job, says=says), ""
        found = plan_cuts(job, keep_going, steps, says=says)
    except CutPlanError as error:
        return None, str(error)
    return found, ""
