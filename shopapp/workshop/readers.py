"""The workshop's row, read once a request."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest

from planner.measures import Length

from .models import Adhesive, ClampKind, Finish, RowJig, Workshop
from .models.materials import starting_adhesives, starting_clamps, starting_finishes, starting_jigs


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


def adhesives() -> list[Adhesive]:
    """Those the shop uses; the starting one, unsaved, where none is written down."""
    return list(Adhesive.objects.filter(kept=True)) or starting_adhesives()


def finishes() -> list[Finish]:
    return list(Finish.objects.filter(kept=True)) or starting_finishes()


def clamps() -> list[ClampKind]:
    return list(ClampKind.objects.filter(kept=True)) or starting_clamps()


def row_jigs() -> list[RowJig]:
    return list(RowJig.objects.filter(kept=True)) or starting_jigs()


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
