"""The season's door to the planner: all boards in hand made together in the free hours, as it is and with one thing
changed."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import cached_property

from planner.errors import PlannerError
from planner.gluing import (
    HANDS,
    GlueBoard,
    GlueWork,
    HeldUp,
    Several,
    by_their_days,
    faults_of_several,
    glue_board_of,
    glue_work,
    held_up,
    one_load_more,
    only,
)
from planner.gluing.materials import Adhesive, Finish, GlueShop
from shopapp.plans.timetable.planning import SLOTS_A_DAY, Slots, day_slot, moment, more_words
from shopapp.schedule.planning import SLOT_MINUTES
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop

__all__ = [
    "HANDS",
    "Board",
    "Change",
    "HeldUp",
    "Joint",
    "Planned",
    "Shop",
    "due_slot",
    "more_words",
    "plan",
    "ready_day",
    "sound",
]


@dataclass(frozen=True)
class Board:
    """A job's boards as they are planned with the others. ``ticked`` are its steps that are done, without the number
    their board had, and the slot hands left each at; ``settled`` where its wood is here and settled, ``by_hand``
    where no carrier has it."""

    pk: int
    record: Mapping
    due: date | None
    ticked: Mapping[str, int]
    settled: bool
    by_hand: bool = False

    @cached_property
    def to_glue(self) -> GlueBoard:
        return replace(glue_board_of(self.record), by_hand=self.by_hand)

    @property
    def pace(self) -> Fraction:
        """How many times the likely minutes are enough for four jobs in five; 1 in records of before such."""
        hours = self.record["figures"]
        likely, careful = hours["hours"], hours.get("hours_careful")
        if careful is None or not Fraction(likely["value"][1]):
            return Fraction(1)
        return Fraction(careful["value"][1]) / Fraction(likely["value"][1])


@dataclass(frozen=True)
class Shop:
    """What all of it is made with, from the midnight of ``first``. ``evening`` is a session more a week that the shop
    has no hours on: its weekday's number, and the sessions with it."""

    workshop: Workshop
    glue: GlueShop
    adhesive: Adhesive
    finish: Finish
    times: Mapping[str, Fraction]
    first: date
    sessions: Slots
    evening: Slots = ()


@dataclass(frozen=True)
class Planned:
    """The boards planned together, at likely and at careful minutes. ``refused`` are those that cannot be planned, with
    the reason; finishes are by a job's key, None where the hours of these weeks end before it is done. ``stretched`` is
    false where careful minutes do not fit single steps, and what is more by care was added in free hours at the end."""

    likely: Several | None
    finishes: Mapping[int, int | None]
    careful: Mapping[int, int | None]
    places: Mapping[int, int]
    refused: Mapping[int, str] = field(default_factory=dict)
    stretched: bool = True

    def held_up(self, pk: int) -> HeldUp:
        assert self.likely is not None
        found = held_up(self.likely, self.places[pk])
        back = {place: key for key, place in self.places.items()}
        return replace(found, by={back[place]: slots for place, slots in found.by.items()})

    @property
    def faults(self) -> tuple[str, ...]:
        return () if self.likely is None else faults_of_several(self.likely)


@dataclass(frozen=True)
class Change:
    """One thing otherwise. ``kind`` is "more" (of ``what``, so ``many``), "evening", "settled", "later" or "first" (the
    job ``pk`` put behind or before all others)."""

    kind: str
    what: str = ""
    many: int = 0
    pk: int = 0


def plan(boards: Sequence[Board], shop: Shop) -> Planned:
    """Each board that can be planned at all, together with the others."""
    good, refused = sound(boards, shop)
    return Joint(good, shop).planned(refused=refused)


def sound(boards: Sequence[Board], shop: Shop) -> tuple[list[Board], dict[int, str]]:
    """The boards that can be planned at all, and why the others cannot."""
    refused: dict[int, str] = {}
    good = list(boards)
    while good:
        try:
            _work(good, shop, careful=False)
        except PlannerError as error:
            alone = {board.pk: words for board in good if (words := _why_not(board, shop))}
            # Where each can be made and all of them cannot, none of them is told of.
            alone = alone or {board.pk: str(error) for board in good}
            refused |= alone
            good = [board for board in good if board.pk not in alone]
        else:
            break
    return good, refused


def _why_not(board: Board, shop: Shop) -> str:
    try:
        _work([board], shop, careful=False)
    except PlannerError as error:
        return str(error)
    return ""


class Joint:
    """The work of the boards, made once at likely and once at careful minutes, and planned as often as is asked."""

    def __init__(self, boards: Sequence[Board], shop: Shop) -> None:
        self.boards, self.shop = list(boards), shop
        self.places = {board.pk: n for n, board in enumerate(self.boards, start=1)}
        self.dues = {
            self.places[board.pk]: due_slot(shop.first, board.due) for board in self.boards if board.due is not None
        }
        self.likely = _work(self.boards, shop, careful=False) if self.boards else None
        try:
            self.careful = _work(self.boards, shop, careful=True) if self.boards else None
        except PlannerError:
            # A step that fits no session at careful minutes.
            self.careful = None
        self._settled: tuple[GlueWork, GlueWork | None] | None = None

    def _made(self, change: Change | None) -> tuple[GlueWork | None, GlueWork | None]:
        """At likely and at careful minutes."""
        if change is None or change.kind != "settled":
            return self.likely, self.careful
        if self._settled is None:
            careful = _work(self.boards, self.shop, careful=True, settled=True) if self.careful else None
            self._settled = _work(self.boards, self.shop, careful=False, settled=True), careful
        return self._settled

    def wholly(self) -> list[Change]:
        """The changes that leave every board to be made and put none behind another: one load more of everything that
        can run short, another person among it, and a session more a week."""
        assert self.likely is not None
        found = [Change("more", what, many) for what, many in one_load_more(self.likely).items()]
        return [*found, Change("evening")] if self.shop.evening else found

    def waits_for_wood(self) -> bool:
        return self.likely is not None and any(step.kind in BOUGHT for step in self.likely.steps)

    def planned(
        self,
        change: Change | None = None,
        among: Collection[int] | None = None,
        refused: Mapping[int, str] | None = None,
        *,
        careful: bool = True,
    ) -> Planned:
        """``among`` are the jobs that are made, all where none are given."""
        pks = list(self.places) if among is None else [pk for pk in self.places if pk in among]
        at_likely, at_careful = self._made(change)
        if at_likely is None or not pks:
            return Planned(None, {}, {}, self.places, refused or {})
        likely = self._put_in(at_likely, change, pks)
        finishes = {pk: likely.finishes.get(self.places[pk]) for pk in pks}
        done = {pk for pk in pks if self.places[pk] not in {step.board for step in at_likely.steps}}
        finishes |= dict.fromkeys(done, 0)
        if not careful:
            return Planned(likely, finishes, {}, self.places, refused or {})
        if at_careful is not None:
            late = self._put_in(at_careful, change, pks).finishes
            at = {pk: late.get(self.places[pk]) for pk in pks} | dict.fromkeys(done, 0)
        else:
            at = self._sat_out(finishes, likely.made)
        at = {pk: None if end is None else max(end, finishes[pk] or 0) for pk, end in at.items()}
        return Planned(likely, finishes, at, self.places, refused or {}, self.careful is not None)

    def _put_in(self, made: GlueWork, change: Change | None, pks: Sequence[int]) -> Several:
        some = made if len(pks) == len(self.places) else only(made, {self.places[pk] for pk in pks})
        first = [self.places[change.pk]] if change and change.kind == "first" else []
        last = [self.places[change.pk]] if change and change.kind == "later" else []
        if change and change.kind == "more":
            there = dict(some.work.capacity)
            there[change.what] = there.get(change.what, 0) + change.many
            some = replace(some, work=replace(some.work, capacity=there))
        elif change and change.kind == "evening":
            some = replace(some, work=replace(some.work, sessions=self.shop.evening))
        return by_their_days(some, self.dues, first, last)

    def _sat_out(self, finishes: Mapping[int, int | None], made: GlueWork) -> dict[int, int | None]:
        """What is more by care of a board and of all that are finished before it, worked in the hours after it."""
        more, found = Fraction(0), dict[int, int | None]()
        minutes = {
            pk: sum((step.attended for step in made.steps if step.board == place), Fraction(0))
            for pk, place in self.places.items()
        }
        paces = {board.pk: board.pace for board in self.boards}
        for pk in sorted(finishes, key=lambda key: (finishes[key] is None, finishes[key] or 0)):
            more += minutes[pk] * (paces[pk] - 1)
            found[pk] = _after(finishes[pk], more, self.shop)
        return found


def _after(finish: int | None, minutes: Fraction, shop: Shop) -> int | None:
    left = -(-minutes // SLOT_MINUTES)
    if finish is None or left <= 0:
        return finish
    for opens, closes in shop.sessions:
        room = closes - max(opens, finish)
        if room >= left:
            return max(opens, finish) + int(left)
        left -= max(room, 0)
    return None


def _work(boards: Sequence[Board], shop: Shop, *, careful: bool, settled: bool = False) -> GlueWork:
    done = {f"{place}{step}": at for place, board in enumerate(boards, start=1) for step, at in board.ticked.items()}
    here = [f"{n}/{kind}" for n, board in enumerate(boards, start=1) if board.settled or settled for kind in BOUGHT]
    return glue_work(
        [board.to_glue for board in boards],
        shop.glue,
        shop.adhesive,
        shop.finish,
        workshop_planning.around_of(shop.workshop),
        shop.times,
        shop.sessions,
        SLOT_MINUTES,
        done={*done, *here},
        ready=done,
        unit=shop.workshop.unit,
        paces=[board.pace for board in boards] if careful else (),
    )


# The steps that are waits for the wood itself.
BOUGHT = ("wood", "settle")


def due_slot(first: date, due: date) -> int:
    """The slot with which the day that it is due on is over."""
    return day_slot(first, due) + SLOTS_A_DAY


def ready_day(first: date, finish: int) -> date:
    """The day on which the last slot before a finish lies."""
    return moment(first, max(finish - 1, 0)).date()
