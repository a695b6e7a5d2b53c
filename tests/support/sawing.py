"""Kept cut plans to saw from: a rack, a plan or a job of it, and the sheet that counts."""

from __future__ import annotations

from planner.measures import Length
from shopapp.jobs.cutting import cutting_of as cutting_of_job
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.doing.actions import Back, bring_back, report, start
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.cutting.doing.readers import BoardNow, Doing, doing_of
from shopapp.plans.cutting.sheets.actions import ask_for_paper
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutEntry, CutSheet
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.rack import boards

WOODS = ("sycamore", "walnut-black", "birch-yellow", "padauk")


def a_rack(owner, *, each: int = 2, woods=WOODS, **changes) -> None:
    """``each`` boards of 32 by 150 by 1200 mm of every wood the little flag is made of, unless told otherwise."""
    sizes = {"thickness": Length.of_mm(32), "length": Length.of_mm(1200), **changes}
    for wood in woods:
        boards(owner, each, wood=wood, **sizes)


def a_job(owner, *, label: str = "Flag", plan=None, **changes) -> Job:
    return work.job(owner, plan or work.kept(owner), label=label, **changes)


def cutting_of(job: Job) -> Cutting:
    return cutting_of_job(Job.objects.select_related("plan").get(pk=job.pk))


def keep(owner, cutting: Cutting, **wishes) -> CutSheet:
    """The first plan there is, kept; no search goes on."""
    search = ask_for_plan(who=owner, cutting=cutting, wishes=wishes)
    return keep_plan_of(who=owner, cutting=cutting, search=search)


def kept_job(owner, **changes) -> tuple[Cutting, CutSheet]:
    """A job of the little flag with its cut plan kept, on a rack that has enough."""
    a_rack(owner)
    cutting = cutting_of(a_job(owner, **changes))
    return cutting, keep(owner, cutting)


def begun_job(owner) -> tuple[Cutting, CutSheet]:
    """The same, its cut plan started."""
    cutting, sheet = kept_job(owner)
    start(who=owner, cutting=cutting, sheet=sheet)
    return cutting, sheet


def sawn(owner, cutting: Cutting) -> tuple[CutSheet, str]:
    """A kept cut plan that was started, with the mark of its first board, which is cut; its paper is asked for."""
    sheet = keep(owner, cutting)
    start(who=owner, cutting=cutting, sheet=sheet)
    mark = boards_of(sheet.form)[0]
    report(who=owner, cutting=cutting, sheet=sheet, board=mark, rough=None)
    ask_for_paper(who=owner, sheet=sheet)
    return sheet, mark


# What is done at the bench with a plan that was begun: a (Cutting, CutSheet).


def now(cutting: Cutting) -> Doing:
    return doing_of(cutting, the_workshop())


def board_now(cutting: Cutting, mark: str) -> BoardNow:
    return next(one for one in now(cutting).boards if one.board.mark == mark)


def cut(owner, begun, mark: str, rough: int | None = None) -> list[CutEntry]:
    return report(who=owner, cutting=begun[0], sheet=begun[1], board=mark, rough=rough)


def back(owner, begun, mark: str, *said: Back, **changes):
    version = StockPiece.objects.get(mark=mark).edit_version
    given = {"who": owner, "cutting": begun[0], "sheet": begun[1], "board": mark, "back": said, "seen_version": version}
    return bring_back(**{**given, **changes})


def as_planned(begun, mark: str) -> list[Back]:
    """The offcuts of a board that wait, at their planned sizes."""
    piece = StockPiece.objects.get(mark=mark)
    return [
        Back(one, Size(one.milled or piece.thickness, one.width, one.length, bool(one.milled) or None))
        for one in board_now(begun[0], mark).waiting
    ]
