"""The addresses of a shop book's pages, the same for everybody who wants a board made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import URLPattern

from shopapp.people.doors import BOTH, Page, door
from shopapp.plans.cutting.doors import cutting_of, cutting_of_plan
from shopapp.plans.models import Plan

from . import pages
from .wanted import Binding

# There are no prices in the book: whoever works from it may have it made.
_PAGES = (
    Page("book", "", pages.book, BOTH),
    Page("book_state", "<int:book_pk>/state/", pages.state),
    Page("book_pdf", "<int:book_pk>/shop-book.pdf", pages.pdf),
)


def book_door(find: Callable[[int], Binding]) -> list[URLPattern]:
    return door("book", _PAGES, find)


def binding_of(plan: Plan) -> Binding:
    """A kept plan as the pages are told of it, before any job is made of it."""
    return Binding(cutting_of(plan))


def binding_of_plan(pk: int) -> Binding:
    return Binding(cutting_of_plan(pk))
