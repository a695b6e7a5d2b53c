"""What the bench shows: the cards of the timetable that counts, what is ticked of them, what stands in clamps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from shopapp.plans.models import KeptTimetable
from shopapp.schedule.planning import SLOT_MINUTES, Slots, sessions_between

from . import planning
from .forms import WEEKS
from .readers import Card, Seen, seen_of
from .standing import DRY, ticked_of
from .wanted import Making

# How long what has come out of clamps is still told of.
_TOLD_HOURS = 5
# The hour from which a session is an evening's.
_EVENING = 17


@dataclass(frozen=True)
class Ending:
    """Something left alone that is over at ``off``; ``over`` says how."""

    words: str
    over: str
    off: datetime
    is_off: bool = False


@dataclass(frozen=True)
class Doing:
    """How far it is: the cards up to tonight's with their ticks, the later ones by order and load, what is in clamps.
    ``behind`` counts steps of earlier evenings that are not ticked, ``gone`` are days on which something is planned
    and whose hours are not there any more."""

    seen: Seen
    steps: int
    done: int
    behind: int
    gone: list[date]
    now: Card | None
    tonight: bool
    cards: list[Card]
    later: list[Card]
    clamped: list[Ending]

    @property
    def by_day(self) -> bool:
        """Whether the card that comes first is of a session in daylight: "today" is said of it, not "tonight"."""
        return self.now is not None and self.now.opens.hour < _EVENING

    @property
    def left(self) -> int:
        return self.steps - self.done


def doing_of(making: Making, kept: KeptTimetable, now: datetime) -> Doing:
    """The timetable that counts against what is ticked, at a moment by the clock on the wall. Four queries."""
    wall = now.replace(tzinfo=None)
    ticked = ticked_of(making.keys, kept.boards)
    seen = seen_of(kept.form, kept.first, kept.wishes, kept.advice, ticked, wall.date())
    current = next((card for card in seen.cards if card.closes >= wall and any(not x.done for x in card.lines)), None)
    begun = [card for card in seen.cards if card.closes < wall]
    behind = [card for card in begun if any(line.done is None for line in card.lines)]
    shown = [*behind, *([current] if current else [])] or seen.cards[-1:]
    later = [card for card in seen.cards if card not in shown and card.opens > wall]
    lines = [line for card in seen.cards for line in card.lines]
    # What was ticked before the rest was planned again is in no card any more.
    earlier = sum(not step.endswith(DRY) for step in ticked.keys() - {line.key for line in lines})
    return Doing(
        seen=seen,
        steps=len(lines) + earlier,
        done=sum(line.done is not None for line in lines) + earlier,
        behind=sum(line.done is None for card in begun for line in card.lines),
        gone=gone_in(seen, wall.date()),
        now=current,
        tonight=current is not None and current.opens.date() == wall.date(),
        cards=shown,
        later=later,
        clamped=_clamped(kept, ticked, wall),
    )


def gone_in(seen: Seen, today: date) -> list[date]:
    """Days from today on, as far as timetables look, on which a step that is not ticked lies outside the hours there
    are now: a day became different after the timetable was kept. Three queries."""
    sessions, horizon = sessions_between(today, WEEKS), today + timedelta(weeks=WEEKS)
    midnight = datetime.combine(today, time())
    days = [
        line.at.date()
        for card in seen.cards
        for line in card.lines
        if line.done is None
        and today <= line.at.date() < horizon
        and not _inside((line.at - midnight) // timedelta(minutes=SLOT_MINUTES), line.minutes, sessions)
    ]
    return list(dict.fromkeys(days))


def _inside(start: int, minutes: int, sessions: Slots) -> bool:
    return any(opens <= start and start + minutes // SLOT_MINUTES <= closes for opens, closes in sessions)


def _clamped(kept: KeptTimetable, ticked: Mapping[str, datetime], wall: datetime) -> list[Ending]:
    """What was ticked and stands in clamps, or has come out within the last hours, the soonest first."""
    endings = []
    for words, key, minutes, left in planning.holds_in(kept.form):
        if key in ticked:
            # Glue sets by the hour that passes, not by the clock on the wall, which may be put forward meanwhile.
            over = ticked[key] + timedelta(minutes=minutes)
            off = timezone.localtime(over).replace(tzinfo=None, second=0, microsecond=0)
            if off > wall - timedelta(hours=_TOLD_HOURS):
                endings.append(Ending(words, left.over, off, off <= wall))
    return sorted(endings, key=lambda one: one.off)
