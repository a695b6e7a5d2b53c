"""The addresses of a timetable's pages, the same for everybody who wants boards made: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import URLPattern, path, reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shopapp.people.permissions import owner_required
from shopapp.plans.models import Plan

from . import pages, papers
from .readers import other_plans
from .wanted import Making

# What each is called, where it lies below the timetable's own address, its page, its methods, and whether a helper may
# see it too: at the bench there are no prices.
_PAGES = (
    ("timetable", "", pages.timetable, require_http_methods(["GET", "POST"]), False),
    ("timetable_answer", "answer/", pages.answer, require_GET, False),
    ("timetable_state", "state/", pages.state, require_GET, False),
    ("timetable_keep", "keep/", pages.keep, require_POST, False),
    ("timetable_doing", "doing/", pages.doing, require_http_methods(["GET", "POST"]), True),
    ("timetable_kept", "<int:made_pk>/", pages.kept, require_GET, False),
    ("timetable_paper", "<int:made_pk>/paper/", papers.paper, require_POST, False),
    ("timetable_paper_state", "<int:made_pk>/paper/state/", papers.state, require_GET, False),
    ("timetable_pdf", "<int:made_pk>/cards.pdf", papers.pdf, require_GET, False),
)


def door(find: Callable[[int], Making]) -> list[URLPattern]:
    """Addresses below ``<int:pk>/timetable/``; ``find`` gives who wants it, or raises Http404."""
    return [
        path(f"<int:pk>/timetable/{below}", _view(page, find, methods, for_all), name=name)
        for name, below, page, methods, for_all in _PAGES
    ]


def _view(
    page: Callable, find: Callable[[int], Making], methods: Callable, for_all: bool
) -> Callable[..., HttpResponse]:
    def view(request: HttpRequest, pk: int, **more: int) -> HttpResponse:
        return page(request, find(pk), **more)

    return methods(view if for_all else owner_required(view))


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
