"""How the season is told: when a job is ready, what holds it up, what would mend it, how many boards fit by a day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from shopapp.common.fields import plain_number
from shopapp.jobs.tonight.planning import ASSUMED
from shopapp.jobs.words import day
from shopapp.plans.timetable.planning import SLOTS_A_DAY

from . import judging, planning
from .asked import Asked

LATE, AT_RISK, IN_TIME, NO_DAY = "late", "at risk", "in time", "no day"
_RANK = {NO_DAY: 0, IN_TIME: 0, AT_RISK: 1, LATE: 2}
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_NUMBERS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
# What a wait after a step of some kind is.
_WAITS = {
    "wood": "wood on its way",
    "settle": "wood settling",
    "rough": "milled wood at rest",
    "raise": "the finish drying",
    "coat": "the finish drying",
    "wipe": "the finish drying",
    "carrier": "the carrier on the way",
}
_GLUED = "glue in clamps and curing"
_MOST_REASONS = 4
# What costs another job its day is told where nothing else helps, so many ways of it.
_MOST_HARMING = 3


def state_of(finish: int | None, careful: int | None, due: int | None) -> str:
    """Late where the likely finish is after the day, at risk where only the careful one is. A finish as the day ends
    is in time."""
    if due is None:
        return NO_DAY
    if finish is None or finish > due:
        return LATE
    return AT_RISK if careful is None or careful > due else IN_TIME


def states(asked: Asked, finishes: Mapping[int, int | None], careful: Mapping[int, int | None]) -> dict[int, str]:
    return {
        job.pk: state_of(
            finishes[job.pk], careful[job.pk], None if job.due is None else planning.due_slot(asked.first, job.due)
        )
        for job in asked.jobs
        if job.pk in finishes
    }


def number(many: int) -> str:
    """
    >>> number(2), number(13)
    ('two', '13')
    """
    return _NUMBERS[many] if many < len(_NUMBERS) else str(many)


def listed(words: Sequence[str], last: str = "and") -> str:
    """
    >>> listed(["a"]), listed(["a", "b", "c"]), listed(["a", "b"], "or")
    ('a', 'a, b and c', 'a or b')
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def reason(held: planning.HeldUp, labels: Mapping[int, str]) -> str:
    """What most of the time goes to until it is finished, in days."""
    parts: dict[str, int] = {}
    for kind, slots in held.waits.items():
        words = _WAITS.get(kind, _GLUED)
        parts[words] = parts.get(words, 0) + slots
    if held.hours:
        parts["nobody in the shop"] = held.hours
    for what, slots in held.taken.items():
        parts[taken_words(what)] = slots
    most = [one for one in sorted(parts.items(), key=lambda one: -one[1]) if days(one[1]) != "0"][:_MOST_REASONS]
    told = f"Until then: {listed([f'{days_words(slots)} {words}' for words, slots in most])}." if most else ""
    others = [labels[pk] for pk in sorted(held.by, key=lambda pk: -held.by[pk]) if pk in labels][:2]
    if held.taken and others:
        told += f" {listed(others)} {'has' if len(others) == 1 else 'have'} the shop meanwhile."
    return told


def days(slots: int) -> str:
    return plain_number(Fraction(slots, SLOTS_A_DAY), 1)


def days_words(slots: int) -> str:
    """
    >>> days_words(288), days_words(432)
    ('1 day', '1.5 days')
    """
    many = days(slots)
    return f"{many} day{'s' * (many != '1')}"


def taken_words(what: str) -> str:
    """
    >>> taken_words("hands"), taken_words("jigs: Small jig"), taken_words("bench places")
    ('hands busy with other steps', 'its jig taken (Small jig)', 'its place at the bench taken')
    """
    if what == planning.HANDS:
        return "hands busy with other steps"
    kind, _, name = what.partition(": ")
    if not name:
        return "its place at the bench taken"
    return f"its {kind.removesuffix('s') if kind == 'jigs' else kind} taken ({name.replace(ASSUMED, '')})"


def change_words(change: planning.Change, asked: Asked, labels: Mapping[int, str]) -> str:
    """For a sentence: "with one more jig (Row jig)"."""
    if change.kind == "more":
        return f"with {planning.more_words(change.what, change.many).replace(ASSUMED, '')}"
    if change.kind == "evening":
        assert asked.evening is not None
        return f"with one session more a week ({_DAYS[asked.evening.weekday]}, {asked.evening.from_to})"
    if change.kind == "settled":
        return "with all its wood here and settled today"
    if change.kind == "first":
        return "if it is begun before everything else"
    return f"if {labels[change.pk]} is put last"


def mends(pk: int, asked: Asked, judged: judging.Judged, labels: Mapping[int, str]) -> list[str]:
    """What would bring a job in time, by planning again with each change; those that cost another job its day only
    where nothing else does."""
    before = states(asked, judged.finishes, judged.careful)
    surely, likely, harming, tried = [], [], [], 0
    for change, finishes, careful in judged.changed:
        if (change.kind == "first" and change.pk != pk) or (change.kind == "later" and change.pk == pk):
            continue
        tried += 1
        after = states(asked, finishes, careful)
        if _RANK[after[pk]] >= _RANK[before[pk]]:
            continue
        words = change_words(change, asked, labels)
        worse = [other for other in after if other != pk and _RANK[after[other]] > _RANK[before[other]]]
        if worse:
            harmed = [f"{labels[other]} is {after[other]}" for other in worse[:2]]
            harming.append(f"{words} ({listed(harmed)} then)")
        else:
            (surely if after[pk] == IN_TIME else likely).append(words)
    told = []
    if surely:
        told.append(f"In time {listed(surely, 'or')}.")
    if likely:
        told.append(f"Still at risk, but likely in time, {listed(likely, 'or')}.")
    if harming and not told:
        told.append(f"Only at another’s cost: {listed(harming[:_MOST_HARMING], 'or')}.")
    if not told:
        alone = judged.alone.get(pk)
        tries = f"None of the {number(tried)} changes that were tried brings it in time." if tried else ""
        ready = "" if alone is None else day(planning.ready_day(asked.first, alone))
        by_itself = f"If nothing else was made it would be ready on {ready}." if ready else ""
        told.append(" ".join(filter(None, (tries, by_itself, "Agree on another day."))))
    return told


def fitting_words(
    found: judging.Fitting, asked: Asked, labels: Mapping[int, str], copies: Mapping[int, int], by: date
) -> list[str]:
    """How many boards are due by a day and how many of them are too many, in sentences."""
    every = sum(copies[pk] for pk in found.pks)
    out = sum(copies[pk] for pk in found.left_out)
    if not every:
        return [f"No board that could be planned is due by {day(by)}."]
    boards = f"{number(every).capitalize()} board{'s' if every > 1 else ''} by {day(by)}"
    if not out:
        sure = found.surely == len(found.pks)
        rest = "at the careful estimate too" if sure else f"but not {'all ' * (every > 1)}at the careful estimate"
        return [f"{boards}: {'it fits' if every == 1 else 'all of them fit'}, {rest}."]
    names = listed([labels[pk] for pk in found.left_out])
    told = [f"{boards}: {number(out)} too many."]
    left = every - out
    if left:
        sure = found.surely == len(found.pks) - len(found.left_out)
        surely = "" if sure else f", though not {'all ' * (left > 1)}at the careful estimate"
        told.append(f"Without {names} the other {number(left)} {'fits' if left == 1 else 'fit'}{surely}.")
    ways = [change_words(change, asked, labels).replace("all its wood", "all wood") for change in found.enough]
    if ways:
        told.append(f"Or all of them fit {listed(ways, 'or')}.")
    else:
        told.append("No single change that was tried makes all of them fit.")
    return told
