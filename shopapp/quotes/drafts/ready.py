"""By when the boards of a quote can be there: at the careful estimate, in hours nobody booked for other work."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.core.cache import cache
from django.utils.dateformat import format as format_day

from planner.errors import PlannerError
from shopapp.common.fields import plain_number
from shopapp.plans.models import Plan
from shopapp.plans.timetable.asked import free_sessions
from shopapp.plans.timetable.forms import WEEKS
from shopapp.plans.timetable.planning import moment
from shopapp.schedule.log.planning import minutes_used
from shopapp.workshop import readers as workshop

from . import planning

# The days a customer is given to say yes before the date moves (a choice, no source).
ANSWER_DAYS = 7
_KEPT_SECONDS = 600


@dataclass(frozen=True)
class ThereBy:
    """``day`` the boards can be there, if the quote is accepted by ``accepted``; ``words`` say what it went by, or in
    ``trouble`` why there is none. ``by_option`` has each option's own day."""

    accepted: date
    day: date | None = None
    words: str = ""
    trouble: str = ""
    by_option: tuple[date, ...] = ()


def there_by(plans: Sequence[Plan], today: date) -> ThereBy:
    """Of several options the latest counts: any of them may be chosen. A fixed number of queries."""
    accepted = today + timedelta(days=ANSWER_DAYS)
    if not plans:
        return ThereBy(accepted)
    sessions = free_sessions(accepted, [f"plan {plan.pk}" for plan in plans])
    if not sessions:
        return ThereBy(accepted, trouble="Nobody is in the shop in these weeks: write down the hours of a week.")
    try:
        found = [_found(plan, accepted, sessions) for plan in plans]
    except PlannerError as error:
        return ThereBy(accepted, trouble=str(error))
    days = tuple(moment(accepted, one.finish).date() for one in found)
    last = max(range(len(days)), key=lambda n: days[n])
    likely, careful = planning.careful_hours(plans[last].record)
    how = "each step given its careful time" if found[last].stretched else "the hours more by care added at the end"
    words = (
        f"By the rules of gluing up in the hours of the next {WEEKS} weeks that nothing else is booked in, begun on "
        f"{format_day(accepted, 'j M Y')}: {plain_number(careful, 1)} hours at the careful estimate "
        f"({plain_number(likely, 1)} likely), {how}."
    )
    return ThereBy(accepted, max(days), words, by_option=days)


def _found(plan: Plan, first: date, sessions) -> planning.Found:
    """From the cache while plan, hours, records and times are the same. Raises PlannerError."""
    shop = workshop.the_workshop()
    adhesive, finish = workshop.adhesives()[0], workshop.finishes()[0]
    said = [plan.sha256, first, sessions, shop.edit_version, sorted(minutes_used(shop).items())]
    said += [(row.pk, row.edit_version) for row in (adhesive, finish, *workshop.row_jigs(), *workshop.clamps())]
    key = "there-by:" + hashlib.sha256(repr(said).encode()).hexdigest()
    found = cache.get(key)
    if found is None:
        found = planning.found_by_rules(plan.record, shop, adhesive, finish, sessions)
        cache.set(key, found, _KEPT_SECONDS)
    return found
