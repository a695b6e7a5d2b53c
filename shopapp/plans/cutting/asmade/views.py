"""Tiles measured for a kept plan, before any job is made of it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from shopapp.plans.cutting.views import cutting_of
from shopapp.plans.models import Plan

from . import pages


@require_http_methods(["GET", "POST"])
def cut_as_made(request: HttpRequest, pk: int, cut_pk: int) -> HttpResponse:
    return pages.as_made(request, cutting_of(get_object_or_404(Plan, pk=pk)), cut_pk)
