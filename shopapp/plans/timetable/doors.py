"""The addresses of a timetable's pages, the same for everybody who wants boards made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.shortcuts import get_object_or_404
from django.urls import URLPattern, reverse

from shopapp.people.doors import BOTH, WRITE, Page, door
from shopapp.plans.models import Plan

from . import pages, papers
from .readers import other_plans
from .wanted import Making

# At the bench there are no prices: that page is a helper's too.
_PAGES = (
    Page("timetable", "", pages.timetable, BOTH, owners=True),
    Page("timetable_answer", "answer/", pages.answer, owners=True),
    Page("timetable_state", "state/", pages.state, owners=True),
    Page("timetable_keep", "keep/", pages.keep, WRITE, owners=True),
    Page("timetable_doing", "doing/", pages.doing, BOTH),
    Page("timetable_kept", "<int:made_pk>/", pages.kept, owners=True),
    Page("timetable_paper", "<int:made_pk>/paper/", papers.paper, WRITE, owners=True),
    Page("timetable_paper_state", "<int:made_pk>/paper/state/", papers.state, owners=True),
    Page("timetable_pdf", "<int:made_pk>/cards.pdf", papers.pdf, owners=True),
)


def timetable_door(find: Callable[[int], Making]) -> list[URLPattern]:
    return door("timetable", _PAGES, find)


def making_of_plan(pk: int) -> Making:
    """A kept plan as the pages are told of it, before any job is made of it."""
    plan = get_object_or_404(Plan.objects.select_related("design"), pk=pk)
    return Making(
        label=plan.title,
        key=f"plan {plan.pk}",
        plan=plan,
        home=plan.get_absolute_url(),
        home_words=plan.title,
        to=lambda name, *args: reverse(f"plans:{name}", args=[plan.pk, *args]),
        others=lambda: other_plans(plan),
    )
