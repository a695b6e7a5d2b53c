"""A week with evenings and a Saturday, a day that is different, and something booked."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from shopapp.people.models import Member
from shopapp.schedule.actions import add_exception, add_sessions, book_anew
from shopapp.schedule.models import Booking
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import Adhesive, ClampKind, Finish, RowJig


def a_week(owner: Member) -> dict[str, int]:
    """What addresses of its pages are filled with."""
    sessions = add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60, "who": "Mara"})
    add_sessions(who=owner, weekdays=[5], values={"starts": 9 * 60, "ends": 17 * 60, "people": 2})
    day = timezone.localdate() + timedelta(days=3)
    different = add_exception(who=owner, values={"first": day, "last": day, "reason": "market"})
    evening = Booking(on=timezone.localdate(), starts=19 * 60, ends=20 * 60, words="Rows 1 to 4")
    book_anew(key="job 1", label="Flag for the quay", bookings=[evening])
    return {"session_pk": sessions[0].pk, "exception_pk": different.pk}


def on_the_wall(owner: Member) -> dict[str, int | str]:
    """A glue from its sheet, a finish, a jig and clamps; what addresses of their pages are filled with."""
    values = {"name": "White glue", "source": "the tub's own sheet", "source_on": timezone.localdate()}
    glue = add_material(who=owner, model=Adhesive, values=values)
    for model in (Finish, RowJig, ClampKind):
        add_material(who=owner, model=model, values={"name": f"Our {model._meta.verbose_name}"})
    return {"kind": "glue", "material_pk": glue.pk}
