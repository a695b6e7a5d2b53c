"""The wood a job's start takes, and what goes back to the rack where it is not begun after all; each part of the
transaction that says how far the job is."""

from __future__ import annotations

from django.db import transaction

from planner.errors import PlannerError
from shopapp.jobs.cutting import cutting_of
from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.again import needs_now
from shopapp.jobs.words import marks_said
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.promising.readers import promised_to
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member
from shopapp.plans.cutting.actions import RackMoved
from shopapp.plans.cutting.doing import actions as sawing
from shopapp.plans.cutting.doing.standing import newest_sheet, standing_of
from shopapp.workshop.readers import the_workshop

from .readers import taking_of

# What is said where the wood is left on the rack for now.
LEFT = "left"


class WoodLacking(PlannerError):
    """Not all the wood the start takes is to be had, so nothing was taken and the job is not begun. ``lacking`` says of
    each what."""

    def __init__(self, lacking: list[str]) -> None:
        self.lacking = lacking
        super().__init__(" ".join(lacking), mend="Choose boards for it, or begin it without and take its wood later.")


class TakesOther(PlannerError):
    """The start would take other boards than whoever pressed has read."""


def take_its_wood(who: Member | None, job: Job, wood: str) -> str:
    """Take all the start takes, ``wood`` being what was read of it (``Taking.seen``), or LEFT; in a sentence what was
    left. Raises WoodLacking and TakesOther."""
    # Who promises or takes under its key meanwhile waits.
    demand = promises.want_wood(label=job.label, key=job.key)
    workshop, promised = the_workshop(), promised_to(demand)
    needs, _ = needs_now(job, workshop)
    taking = taking_of(job, promised, needs, woods_seen(), workshop)
    if wood == LEFT:
        if taking.lacking:
            return "It was begun without its wood."
        return "Its wood was left on the rack for now." if taking.pieces else ""
    if taking.lacking:
        raise WoodLacking(taking.lacking)
    if taking.pieces and wood != taking.seen:
        raise TakesOther(
            "Its start would take other boards by now." if wood else "It was not said what becomes of its wood.",
            mend="Look at what it takes, and begin it.",
        )
    if not taking.pieces:
        return ""
    try:
        if taking.sheet is not None:
            sawing.start(who=who, cutting=cutting_of(job), sheet=taking.sheet)
        else:
            promises.take(who=who, demand=demand, pieces=taking.pieces)
    except RackMoved as moved:
        raise WoodLacking(list(moved.marks.values())) from moved
    except StockMoved as moved:
        raise WoodLacking([str(moved)]) from moved
    return ""


def put_its_wood_back(who: Member | None, job: Job) -> str:
    """What is out and nothing was cut of goes back to the rack and stays reserved; what does not is told."""
    demand = promises.want_wood(label=job.label, key=job.key)
    sheet = newest_sheet(job.key, job.plan_id) if job.plan_id else None
    standing = standing_of(sheet) if sheet is not None else None
    if standing is not None and standing.starts:
        try:
            with transaction.atomic():
                for start in standing.starts:
                    sawing.undo(who=who, cutting=cutting_of(job), sheet=sheet, entry=start)
        except PlannerError:
            # Something of it is cut: all of it stays where it is.
            pass
    cut = {board for board, _ in standing.cuts} if standing is not None else set()
    out = promised_to(demand).out
    whole = [one.piece for one in out if not one.back and one.piece.mark not in cut]
    if whole and not cut:
        promises.bring_all_back_whole(who=who, pieces=whole)
        promises.reserve(who=who, demand=demand, pieces=whole)
        out = [one for one in out if one.piece not in whole]
    marks = [one.piece.mark for one in out]
    return f"{marks_said(marks)} {'is' if len(marks) == 1 else 'are'} still out." if marks else ""
