"""What is still open of a job: asked before it is called finished, and held against what was left so then."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from shopapp.jobs.models import Job
from shopapp.jobs.over import MADE, Leaving
from shopapp.jobs.spoiled.again import again_of
from shopapp.jobs.timing import timed_of
from shopapp.jobs.words import marks_said
from shopapp.lumber.models import StockPiece
from shopapp.people.models import Member
from shopapp.plans.cutting.doing.balance import waiting_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import newest_sheet, standing_of
from shopapp.plans.models import sign_of_read
from shopapp.schedule.log.planning import operation_words
from shopapp.schedule.log.readers import TimePage, time_page
from shopapp.workshop.readers import the_workshop

from .wood import pieces_out

Left = Mapping[str, object]


@dataclass(frozen=True)
class StillOpen:
    """``offcuts`` are planned ones not back yet, by board; ``whole`` boards that are out and of which nothing was cut
    or came back; ``uncut`` rough lengths not ticked; ``operations`` kinds of work in the log that nobody said are
    done. ``rest`` are boards of a job that was called off which were begun, and nothing came back of them."""

    offcuts: list[tuple[str, int]]
    whole: list[StockPiece]
    uncut: int
    reserved: list[StockPiece]
    to_cut_again: int
    operations: list[tuple[str, str]]
    rest: Sequence[StockPiece] = ()

    def __bool__(self) -> bool:
        wood = self.offcuts or self.whole or self.rest or self.uncut or self.reserved
        return bool(wood or self.to_cut_again or self.operations)

    @property
    def seen(self) -> str:
        """What whoever finishes with these open has read."""
        told = [
            [list(one) for one in self.offcuts],
            [piece.mark for piece in self.whole],
            self.uncut,
            [piece.mark for piece in self.reserved],
            self.to_cut_again,
            [key for key, _ in self.operations],
        ]
        return sign_of_read(told)

    @property
    def waste(self) -> list[str]:
        """Boards of which nothing more comes back once it is finished."""
        return sorted({piece.mark for piece in self.whole} | {mark for mark, _ in self.offcuts})

    def left(self, learned: Collection[str]) -> dict[str, object]:
        """What is kept of it with the entry that finishes a job; what is ``learned`` from is not open any more."""
        log = [key for key, _ in self.operations if key not in learned]
        kept = {"waste": self.waste, "uncut": self.uncut, "again": self.to_cut_again, "log": log}
        return {name: value for name, value in kept.items() if value}

    def without(self, left: Left) -> StillOpen:
        """What is open beside what was ``left`` so when it was finished."""
        waste, log = set(left.get("waste", ())), set(left.get("log", ()))
        return StillOpen(
            [(mark, n) for mark, n in self.offcuts if mark not in waste],
            [piece for piece in self.whole if piece.mark not in waste],
            max(0, self.uncut - int(left.get("uncut", 0))),
            self.reserved,
            max(0, self.to_cut_again - int(left.get("again", 0))),
            [one for one in self.operations if one[0] not in log],
        )

    def of_none(self, begun: Sequence[StockPiece]) -> StillOpen:
        """Of a job that was called off nothing is cut any more and nothing is learned: its wood comes back."""
        return replace(self, uncut=0, to_cut_again=0, operations=[], rest=begun)


def left_said(left: Left) -> list[str]:
    """What was left open, in sentences."""
    waste, uncut, again = list(left.get("waste", ())), int(left.get("uncut", 0)), int(left.get("again", 0))
    words = []
    if waste:
        words.append(f"Nothing more comes back of {marks_said(waste)}: what is left of it is waste.")
    if uncut:
        words.append(f"{uncut} rough length{'s' * (uncut != 1)} stayed unticked.")
    if again:
        words.append(f"{again} piece{'s' * (again != 1)} {'was' if again == 1 else 'were'} not cut again.")
    if log := [operation_words(key) for key in left.get("log", ())]:
        words.append(f"Not learned from: {'; '.join(log)}.")
    return words


def left_of(job: Job) -> Left:
    """What was left open when the job was finished or called off, where it still is, whatever was said of it since. One
    query, none before."""
    ends = MADE if job.state in MADE else (Job.State.CALLED_OFF,)
    if job.state not in ends:
        return {}
    since = takewhile(lambda event: event[0] in ends, job.events.values_list("state", "left"))
    return next((left for _, left in since if left), {})


@dataclass(frozen=True)
class Cuts:
    """Boards of the cut plan that are out: ``begun`` by any tick or ``untouched``; rough lengths ``left`` of those that
    are begun, and planned ``offcuts`` that are there and not back."""

    begun: frozenset[str]
    untouched: frozenset[str]
    left: int
    offcuts: list[tuple[str, int]]


def cuts_of(job: Job, out: Collection[str]) -> Cuts:
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


def still_open(
    cuts: Cuts,
    pieces: list[StockPiece],
    back: Collection[int],
    reserved: list[StockPiece],
    to_cut_again: int,
    time: TimePage,
) -> StillOpen:
    """No query."""
    words = {line.key: line.words for line in time.operations}
    return StillOpen(
        offcuts=cuts.offcuts,
        whole=[piece for piece in pieces if piece.mark not in cuts.begun and piece.pk not in back],
        uncut=cuts.left,
        reserved=reserved,
        to_cut_again=to_cut_again,
        operations=[(key, words[key]) for key in time.open_operations],
    )


def leaving_of(job: Job) -> Leaving:
    """Of a job that is about to be called off. Of one that was finished the boards are in what was made, and none is
    out. Five queries at most."""
    if job.state in MADE:
        return Leaving([], [])
    pieces, moved = pieces_out(job)
    begun = cuts_of(job, {piece.mark for piece in pieces}).begun if pieces else frozenset()
    left = [piece for piece in pieces if not moved.back.get(piece.pk)]
    return Leaving(
        [piece for piece in left if piece.mark not in begun], [piece for piece in left if piece.mark in begun]
    )


def reserved_for(job: Job) -> list[StockPiece]:
    """One query."""
    here = StockPiece.objects.filter(demand__key=job.key, state=StockPiece.State.HERE)
    return list(here.select_related("demand").order_by("mark"))


def open_of(job: Job, who: Member | None) -> StillOpen:
    """What is open of a job that is about to be finished."""
    pieces, moved = pieces_out(job)
    again = again_of([job], the_workshop()).get(job.pk) if job.plan_id else None
    return still_open(
        cuts_of(job, {piece.mark for piece in pieces}),
        pieces,
        {pk for pk, came in moved.back.items() if came},
        reserved_for(job),
        again.pieces if again else 0,
        time_page(timed_of(job), who or Member()),
    )
