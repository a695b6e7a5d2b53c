"""The work of a timetable as it is asked for now: boards, glue and finish, the maker's times, and the free evenings."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar

from django.utils import timezone

from planner.errors import PlannerError
from shopapp.plans.models import KeptTimetable, Plan
from shopapp.schedule.planning import Slots, sessions_between
from shopapp.workshop import readers as workshop
from shopapp.workshop.models.materials import Material

from . import planning
from .forms import WEEKS
from .wanted import Making

M = TypeVar("M", bound=Material)


@dataclass(frozen=True)
class Frozen:
    """Work as text, without times yet; what is made together, and the day its slots are counted from."""

    text: str
    boards: list[dict]
    first: date


def frozen(
    making: Making, wishes: Mapping, ticked: Mapping[str, datetime] | None = None, of: KeptTimetable | None = None
) -> Frozen:
    """The work of these wishes; without what is ticked where that is given, for the boards ``of`` a kept timetable.
    Raises PlannerError for what cannot be made, and where nothing is left to do."""
    boards = of.boards if of is not None else boards_of(making, wishes)
    plans = Plan.objects.in_bulk([one["plan"] for one in boards])
    first = date.fromisoformat(wishes["first"])
    shop = workshop.the_workshop()
    # What is made with it is planned anew too: its own evenings are free for it.
    sessions = free_sessions(first, {*making.keys, *(one["key"] for one in boards)})
    if not sessions:
        raise PlannerError(
            "Nobody is in the shop in these weeks.", mend="Write down the hours of a week on the week’s page."
        )
    text = planning.freeze(
        [(one["label"], plans[one["plan"]].record) for one in boards],
        shop,
        planning.Materials(
            _chosen(workshop.adhesives(), wishes["adhesive"]), _chosen(workshop.finishes(), wishes["finish"])
        ),
        bool(wishes["in_hand"]),
        sessions,
        {step: planning.slot_at(first, at) for step, at in (ticked or {}).items()},
        by_hand=[n for n, one in enumerate(boards, start=1) if (making.by_hand if n == 1 else one.get("by_hand"))],
    )
    return Frozen(text, boards, first)


def free_sessions(first: date, besides: Collection[str] = ()) -> Slots:
    """The sessions of the weeks from ``first`` on that nobody booked but under the keys ``besides``, without what of
    them is over already."""
    sessions = sessions_between(first, WEEKS, besides=besides)
    now = max(planning.slot_at(first, timezone.now()), 0)
    return tuple((max(opens, now), closes) for opens, closes in sessions if closes > now)


def boards_of(making: Making, wishes: Mapping) -> list[dict]:
    """What is made together: its own first. Raises PlannerError where one of the others is not offered any more."""
    boards = [{"key": making.key, "label": making.label, "plan": making.plan.pk}]
    wanted = set(wishes.get("together", ()))
    if wanted:
        others = {other.key: other for other in making.others()}
        if missing := wanted - others.keys():
            raise PlannerError(
                f"What was to be made with it is not offered any more ({', '.join(sorted(missing))}).",
                mend="Choose again what is made in the same evenings.",
            )
        boards += [others[key].board for key in sorted(wanted)]
    return boards


def _chosen(rows: Sequence[M], choice: str) -> M:
    for row in rows:
        if row.choice == choice:
            return row
    raise PlannerError(
        "The glue or the finish that was chosen is not in use any more.", mend="Choose another for this timetable."
    )
