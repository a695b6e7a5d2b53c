"""Kept cut plans to saw from: a rack, a plan or a job of it, and the sheet that counts."""

from __future__ import annotations

from planner.measures import Length
from shopapp.jobs.models import Job
from shopapp.jobs.readers import cutting_of as cutting_of_job
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.doing.actions import report, start
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.cutting.sheets.actions import ask_for_paper
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet
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


def sawn(owner, cutting: Cutting) -> tuple[CutSheet, str]:
    """A kept cut plan that was started, with the mark of its first board, which is cut; its paper is asked for."""
    sheet = keep(owner, cutting)
    start(who=owner, cutting=cutting, sheet=sheet)
    mark = boards_of(sheet.form)[0]
    report(who=owner, cutting=cutting, sheet=sheet, board=mark, rough=None)
    ask_for_paper(who=owner, sheet=sheet)
    return sheet, mark
