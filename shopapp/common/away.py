"""What a page needs that goes on while the shop's machine is away: the script by which a device keeps it, and when
it was that something was done there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static

from planner.errors import PlannerError
from shopapp.common.numbers import whole_number

STYLES = ("tokens.css", "base.css", "components.css")
# What every such page's script is made of, besides its own.
MODULES = ("store.js", "device/queue.js", "device/clock.js", "device/there.js", "device/words.js")


def worker_script(
    request: HttpRequest, *, room: str, away: str, style: str, script: str, modules: Sequence[str]
) -> HttpResponse:
    """The worker that keeps the page ``away`` in ``room``, with its ``style`` sheet, its ``script`` and the ``modules``
    that one imports, by their own names. It has a say only in addresses below its own."""
    needed = [
        *(static(f"css/{name}") for name in (*STYLES, style)),
        static(f"js/{script}"),
        # A module asks for another as it is called in the folder.
        *(f"{settings.STATIC_URL}js/{name}" for name in (*MODULES, *modules)),
    ]
    context = {"away": away, "room": room, "needed": needed, "static_url": settings.STATIC_URL}
    answer = render(request, "components/worker.js", context, content_type="text/javascript")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


def moment_of(millis: str, now: datetime, oldest: tuple[int, str], mend: str) -> datetime:
    """A moment in milliseconds of the world's clock; now where none is said or it has not come. ``oldest`` is how many
    days ago it may be, and that in words. Raises PlannerError for one before, which somebody should look at first."""
    if not millis:
        return now
    told = whole_number(millis, 15) or 0
    at = datetime.fromtimestamp(min(told, now.timestamp() * 1000) / 1000, UTC)
    if at < now - timedelta(days=oldest[0]):
        raise PlannerError(f"That was done more than {oldest[1]} ago, by this device’s clock.", mend=mend)
    return at
