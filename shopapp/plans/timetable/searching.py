"""The worker's part: looking for a better timetable for some seconds, and for what one more jig would bring."""

from __future__ import annotations

import time

from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.tasks import UNEXPECTED, background
from shopapp.plans.models import TimetableSearch

from . import planning

# Short enough to hold up no paper, which the same worker makes: so long for the times, and so long for the advice.
SEARCH_SECONDS = 10.0
ADVICE_SECONDS = 6.0


@background(name="look for a better timetable")
def look(search_id: int) -> None:
    """Look until the floor is met or the seconds are over; one that has ended meanwhile is left alone."""
    search = TimetableSearch.objects.get(pk=search_id)
    if not search.is_running:
        return
    rows = TimetableSearch.objects.filter(pk=search_id, ended_at=None)
    try:
        form = planning.better_times(search.form, search.wishes, search.first, _for(SEARCH_SECONDS))
        soonest = search.wishes["aim"] == "soonest"
        advice = planning.advice_on(form, search.first, _for(ADVICE_SECONDS)) if soonest else []
    except PlannerError as error:
        rows.update(ended_at=timezone.now(), trouble=str(error))
    except Exception:
        rows.update(ended_at=timezone.now(), trouble=UNEXPECTED)
        raise
    else:
        rows.update(ended_at=timezone.now(), form=form, advice=advice)


def _for(seconds: float):
    ends = time.monotonic() + seconds
    return lambda: time.monotonic() < ends
