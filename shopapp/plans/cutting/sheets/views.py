"""The paper of a kept cut plan before any job is made of it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET, require_POST

from shopapp.plans.cutting.views import cutting_of
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import Plan

from . import pages


def _cutting(pk: int) -> Cutting:
    return cutting_of(get_object_or_404(Plan, pk=pk))


@require_POST
def cut_paper(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return pages.paper(request, _cutting(pk), cut_pk)


@require_GET
def cut_paper_state(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return pages.state(request, _cutting(pk), cut_pk)


@require_GET
def cut_paper_pdf(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return pages.pdf(request, _cutting(pk), cut_pk)
