"""The cut plan of a kept plan, before any job is made of it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shopapp.plans.models import Plan

from . import pages
from .doing import pages as bench
from .wanted import Cutting


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


def _cutting(pk: int) -> Cutting:
    return cutting_of(get_object_or_404(Plan.objects.select_related("design"), pk=pk))


@require_http_methods(["GET", "POST"])
def cut(request: HttpRequest, pk: int) -> HttpResponse:
    return pages.cut(request, _cutting(pk))


@require_GET
def cut_state(request: HttpRequest, pk: int) -> HttpResponse:
    return pages.state(request, _cutting(pk))


@require_POST
def cut_stop(request: HttpRequest, pk: int) -> HttpResponse:
    return pages.stop(request, _cutting(pk))


@require_POST
def cut_keep(request: HttpRequest, pk: int) -> HttpResponse:
    return pages.keep(request, _cutting(pk))


@require_GET
def cut_sheet(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return pages.sheet(request, _cutting(pk), cut_pk)


@require_http_methods(["GET", "POST"])
def cut_doing(request: HttpRequest, pk: int) -> HttpResponse:
    return bench.doing(request, _cutting(pk))


@require_http_methods(["GET", "POST"])
def cut_back(request: HttpRequest, pk: int, board: str) -> HttpResponse:
    return bench.back(request, _cutting(pk), board)
