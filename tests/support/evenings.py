"""A timetable asked for and kept at once, as a maker would who is content with the first."""

from __future__ import annotations

from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, TimetableSearch
from shopapp.plans.timetable.actions import ask_for_timetable, keep_timetable
from shopapp.plans.timetable.papers import ask_for_paper
from shopapp.plans.timetable.readers import usual_wishes
from shopapp.plans.timetable.wanted import Making


def asked(owner: Member, making: Making, **wishes: object) -> TimetableSearch:
    return ask_for_timetable(who=owner, making=making, wishes={**usual_wishes(making), **wishes})


def kept(owner: Member, making: Making, **wishes: object) -> KeptTimetable:
    """Kept before the worker looked for anything better; there must be sessions in the week."""
    return keep_timetable(who=owner, making=making, search=asked(owner, making, **wishes))


def kept_on_paper(owner: Member, making: Making) -> KeptTimetable:
    """Its cards are asked for; whoever runs the waiting tasks has them made."""
    found = kept(owner, making)
    ask_for_paper(who=owner, kept=found)
    return found
