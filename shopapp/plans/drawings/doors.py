"""The addresses of the working drawings, the same for everybody who wants a board made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import URLPattern

from shopapp.people.doors import Page, door
from shopapp.plans.cutting.doors import cutting_of_plan

from . import pages
from .wanted import Drawn

# What is drawn is worked from at the bench: all but the money is a helper's to see too.
_PAGES = (
    Page("drawings", "", pages.drawings),
    Page("drawings_set_ups", "set-ups/", pages.set_ups),
    Page("drawings_svg", "<slug:drawing>.svg", pages.svg),
)


def drawings_door(find: Callable[[int], Drawn]) -> list[URLPattern]:
    return door("drawings", _PAGES, find)


def drawn_of_plan(pk: int) -> Drawn:
    return Drawn(cutting_of_plan(pk))
