"""The script by which a device keeps a page for when the shop's machine is away; each such page has its own."""

from __future__ import annotations

from collections.abc import Sequence

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static

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
