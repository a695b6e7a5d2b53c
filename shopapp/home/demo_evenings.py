"""When Reedbank Workshop makes the lantern: a timetable by the week's hours, kept, and its evenings booked."""

from __future__ import annotations

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.timetable.actions import ask_for_timetable, keep_timetable
from shopapp.plans.timetable.readers import usual_wishes


def fill_evenings(who: Member) -> None:
    """The commission's timetable; its wood lies on the rack, settled."""
    making = making_of_job(Job.objects.filter(kind=Job.Kind.COMMISSION).earliest("pk").pk)
    wishes = {**usual_wishes(making), "aim": "soonest", "in_hand": True}
    keep_timetable(who=who, making=making, search=ask_for_timetable(who=who, making=making, wishes=wishes))
