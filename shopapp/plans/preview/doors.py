"""The addresses of a preview, the same for everybody who wants a board made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import URLPattern

from shopapp.people.doors import Page, door
from shopapp.plans.cutting.wanted import Cutting

from . import pages

_PAGES = (Page("preview", "", pages.preview), Page("preview_png", "board.png", pages.png))


def preview_door(find: Callable[[int], Cutting]) -> list[URLPattern]:
    return door("preview", _PAGES, find)
