"""The addresses of a cut plan's pages, the same for everybody who wants boards cut: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.shortcuts import get_object_or_404
from django.urls import URLPattern, reverse

from shopapp.people.doors import BOTH, WRITE, Page, door
from shopapp.plans.models import Plan

from . import pages
from .asmade import pages as asmade
from .doing import pages as bench
from .sheets import pages as sheets
from .wanted import Cutting

# Who may keep a plan is asked by its actions; what is cut is a helper's to see too.
_PAGES = (
    Page("cut", "", pages.cut, BOTH),
    Page("cut_state", "state/", pages.state),
    Page("cut_stop", "stop/", pages.stop, WRITE),
    Page("cut_keep", "keep/", pages.keep, WRITE),
    Page("cut_sheet", "<int:cut_pk>/", pages.sheet),
    Page("cut_paper", "<int:cut_pk>/paper/", sheets.paper, WRITE),
    Page("cut_paper_state", "<int:cut_pk>/paper/state/", sheets.state),
    Page("cut_paper_pdf", "<int:cut_pk>/marking-out.pdf", sheets.pdf),
    Page("cut_as_made", "<int:cut_pk>/as-made/", asmade.as_made, BOTH),
    Page("cut_doing", "doing/", bench.doing, BOTH),
    Page("cut_back", "doing/<str:board>/", bench.back, BOTH),
)


def cut_door(find: Callable[[int], Cutting]) -> list[URLPattern]:
    return door("cut", _PAGES, find)


def cutting_of(plan: Plan) -> Cutting:
    """A kept plan as the pages of the cut plan are told of it."""
    return Cutting(
        label=plan.title,
        key=f"plan {plan.pk}",
        plan=plan,
        home=plan.get_absolute_url(),
        home_words=plan.title,
        to=lambda name, *args: reverse(f"plans:{name}", args=[plan.pk, *args]),
    )


def cutting_of_plan(pk: int) -> Cutting:
    return cutting_of(get_object_or_404(Plan.objects.select_related("design"), pk=pk))
