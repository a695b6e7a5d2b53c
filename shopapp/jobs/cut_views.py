"""The cut plan of a job."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shopapp.plans.cutting import pages
from shopapp.plans.cutting.asmade import pages as asmade
from shopapp.plans.cutting.doing import pages as bench
from shopapp.plans.cutting.sheets import pages as sheets
from shopapp.plans.cutting.wanted import Cutting

from .models import Job
from .readers import cutting_of


def _cutting(pk: int) -> Cutting:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    if job.plan is None:
        raise Http404("This job has no kept plan yet; what is cut for it is known once it has one.")
    return cutting_of(job)


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


@require_POST
def cut_paper(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return sheets.paper(request, _cutting(pk), cut_pk)


@require_GET
def cut_paper_state(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return sheets.state(request, _cutting(pk), cut_pk)


@require_GET
def cut_paper_pdf(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return sheets.pdf(request, _cutting(pk), cut_pk)


@require_http_methods(["GET", "POST"])
def cut_as_made(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return asmade.as_made(request, _cutting(pk), cut_pk)
