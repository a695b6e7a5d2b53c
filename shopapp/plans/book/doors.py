"""The addresses of a shop book's pages, the same for everybody who wants a board made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.shortcuts import get_object_or_404
from django.urls import URLPattern, reverse

from shopapp.people.doors import BOTH, Page, door
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
    return Binding(
        label=plan.title,
        key=f"plan {plan.pk}",
        plan=plan,
        home=plan.get_absolute_url(),
        home_words=plan.title,
        to=lambda name, *args: reverse(f"plans:{name}", args=[plan.pk, *args]),
    )


def binding_of_plan(pk: int) -> Binding:
    return binding_of(get_object_or_404(Plan, pk=pk))
