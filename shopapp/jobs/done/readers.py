"""The page of a job that is done or nearly, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.readers import Recut, recut_of
from shopapp.jobs.timing import timed_of
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.people.models import Member
from shopapp.plans.cutting.doing.balance import waiting_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import newest_sheet, standing_of
from shopapp.schedule.log.readers import TimePage, time_page
from shopapp.workshop.models import Workshop

from .costs import Costs, costs_of
from .madeof import MadeOf, materials_of, supplies_used
from .wood import WoodDone, lots_used, pieces_out, woods_done


@dataclass(frozen=True)
class StillOpen:
    """What is told before a job is called finished. ``offcuts`` are planned ones not back yet, by board; ``whole``
    boards that are out and of which nothing was cut or came back; ``uncut`` rough lengths not ticked."""

    offcuts: list[tuple[str, int]]
    whole: list[StockPiece]
    uncut: int
    reserved: list[StockPiece]
    to_cut_again: int
    operations: list[str]

    def __bool__(self) -> bool:
        return bool(self.offcuts or self.whole or self.uncut or self.reserved or self.to_cut_again or self.operations)


@dataclass(frozen=True)
class Cuts:
    """Boards of the cut plan that are out: ``begun`` by any tick or ``untouched``; rough lengths ``left`` of those that
    are begun, and planned ``offcuts`` that are there and not back."""

    begun: frozenset[str]
    untouched: frozenset[str]
    left: int
    offcuts: list[tuple[str, int]]


@dataclass(frozen=True)
class Done:
    job: Job
    woods: list[WoodDone]
    time: TimePage
    costs: Costs | None
    open: StillOpen
    recut: Recut | None
    made_of: MadeOf


def done_page(job: Job, shop: Workshop, who: Member) -> Done:
    """Thirteen queries at most."""
    seen = woods_seen()
    pieces, moved = pieces_out(job)
    cuts = _cuts(job, {piece.mark for piece in pieces})
    woods = woods_done(job, pieces, moved, seen, cuts.untouched)
    time = time_page(timed_of(job), who)
    supplies = supplies_used(job)
    recut = recut_of(job, shop, who, money=False) if job.plan else None
    adhesive, finish, assumed = materials_of(job)
    reserved = list(StockPiece.objects.filter(demand__key=job.key, state=StockPiece.State.HERE).order_by("mark"))
    back = {pk for pk, came in moved.back.items() if came}
    return Done(
        job=job,
        woods=woods,
        time=time,
        costs=costs_of(job, woods, time, supplies, shop) if who.is_owner else None,
        open=_still_open(cuts, pieces, back, reserved, recut, time),
        recut=recut,
        made_of=MadeOf(lots_used(pieces, seen), adhesive, finish, assumed, supplies),
    )


def _cuts(job: Job, out: Collection[str]) -> Cuts:
    """Two queries, none without a plan."""
    sheet = newest_sheet(job.key, job.plan_id) if job.plan_id else None
    if sheet is None:
        return Cuts(frozenset(), frozenset(), 0, [])
    standing, begun, untouched, left, offcuts = standing_of(sheet), set(), set(), 0, []
    for board in laid_out(sheet.form).boards:
        if board.mark not in out:
            continue
        done = [one for one in board.ticks if (board.mark, one.number) in standing.cuts]
        (begun if done else untouched).add(board.mark)
        left += len(board.ticks) - len(done) if done else 0
        if waiting := waiting_of(board, standing):
            offcuts.append((board.mark, len(waiting)))
    return Cuts(frozenset(begun), frozenset(untouched), left, offcuts)


def _still_open(
    cuts: Cuts,
    pieces: list[StockPiece],
    back: set[int],
    reserved: list[StockPiece],
    recut: Recut | None,
    time: TimePage,
) -> StillOpen:
    words = {line.key: line.words for line in time.operations}
    return StillOpen(
        offcuts=cuts.offcuts,
        whole=[piece for piece in pieces if piece.mark not in cuts.begun and piece.pk not in back],
        uncut=cuts.left,
        reserved=reserved,
        to_cut_again=recut.to_cut if recut else 0,
        operations=[words[key] for key in time.open_operations],
    )
