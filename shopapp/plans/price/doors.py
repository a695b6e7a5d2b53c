"""The addresses of a price, the same for everybody who wants a board made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import URLPattern

from shopapp.people.doors import Page, door
from shopapp.plans.cutting.wanted import Cutting

from . import pages
from .lowering import pages as lowering

_PAGES = (
    Page("price", "", pages.price, owners=True),
    Page("price_lower", "lower/", lowering.of_a_plan, owners=True),
)


def price_door(find: Callable[[int], Cutting]) -> list[URLPattern]:
    return door("price", _PAGES, find)
