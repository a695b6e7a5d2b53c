"""The page of a job that is done or nearly, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.readers import Recut, recut_of
from shopapp.jobs.timing import timed_of
from shopapp.lumber.looks import woods_seen
from shopapp.people.models import Member
from shopapp.schedule.log.readers import TimePage, time_page
from shopapp.workshop.models import Workshop

from .costs import Costs, costs_of
from .madeof import MadeOf, materials_of, supplies_used
from .open import StillOpen, cuts_of, left_of, left_said, reserved_for, still_open
from .wood import WoodDone, lots_used, pieces_out, woods_done


@dataclass(frozen=True)
class Done:
    """``left`` says what was open when it was finished all the same; ``open`` is what is besides."""

    job: Job
    woods: list[WoodDone]
    time: TimePage
    costs: Costs | None
    open: StillOpen
    recut: Recut | None
    made_of: MadeOf
    left: Sequence[str] = ()


def done_page(job: Job, shop: Workshop, who: Member) -> Done:
    """Fourteen queries at most."""
    seen = woods_seen()
    pieces, moved = pieces_out(job)
    cuts, left = cuts_of(job, {piece.mark for piece in pieces}), left_of(job)
    woods = woods_done(job, pieces, moved, seen, cuts.untouched - set(left.get("waste", ())))
    time = time_page(timed_of(job), who)
    supplies = supplies_used(job)
    recut = recut_of(job, shop, who, money=False) if job.plan else None
    adhesive, finish, assumed = materials_of(job)
    back = {pk for pk, came in moved.back.items() if came}
    is_open = still_open(cuts, pieces, back, reserved_for(job), recut.to_cut if recut else 0, time).without(left)
    if job.state == Job.State.CALLED_OFF:
        left_pks = {one.pk for one in pieces if one.mark in left.get("waste", ())}
        is_open = is_open.of_none([one for one in pieces if one.mark in cuts.begun and one.pk not in back | left_pks])
    return Done(
        job=job,
        woods=woods,
        time=time,
        costs=costs_of(job, woods, time, supplies, shop) if who.is_owner else None,
        open=is_open,
        recut=recut,
        made_of=MadeOf(lots_used(pieces, seen), adhesive, finish, assumed, supplies),
        left=left_said(left),
    )
