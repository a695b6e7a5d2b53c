"""The workshop's row, read once a request."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest

from planner.measures import Length

from .models import Workshop


def the_workshop() -> Workshop:
    """The one row; before anything was saved, the defaults, unsaved, for reading never writes."""
    return Workshop.objects.filter(pk=1).first() or Workshop(pk=1, edit_version=0)


def workshop_of(request: HttpRequest) -> Workshop:
    if not hasattr(request, "_workshop"):
        request._workshop = the_workshop()
    return request._workshop


def shop_context(request: HttpRequest) -> dict[str, object]:
    """``shop`` for every page. Somebody not signed in is shown the defaults and costs no query."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"shop": Workshop(name="Kerfstead"), "is_demo": settings.IS_DEMO}
    return {"shop": workshop_of(request), "is_demo": settings.IS_DEMO}


def first_sizes(unit: str) -> dict[str, Length]:
    """Sizes a maker might start from, round in the shop's own units."""
    if unit == "in":
        return {
            "pitch": Length.of_inches("3/4"),
            "thickness": Length.of_inches("3/4"),
            "side_border": Length.of_inches(2),
            "end_border": Length.of_inches("3/2"),
        }
    return {
        "pitch": Length.of_mm(17),
        "thickness": Length.of_mm(20),
        "side_border": Length.of_mm(51),
        "end_border": Length.of_mm(34),
    }
