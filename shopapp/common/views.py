"""Stored pictures behind sign-in, and the plain sign that the server answers."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified, JsonResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from .files import file_answer
from .images import may_see
from .models import StoredImage


@require_GET
def image(request: HttpRequest, pk: int) -> HttpResponse:
    """A picture as we wrote it. It never changes under its number: a browser may keep it, but asks each time
    whether it may show it, so that it goes with the one who signed out."""
    found = get_object_or_404(StoredImage, pk=pk)
    if not may_see(request.user, found):
        raise PermissionDenied
    tag = f'"{found.sha256}"'
    known = request.headers.get("If-None-Match") == tag
    response = HttpResponseNotModified() if known else file_answer(found.name, "image/png")
    response.headers["ETag"] = tag
    response.headers["Cache-Control"] = "private, no-cache"
    return response


@require_GET
@login_not_required
def healthz(request: HttpRequest) -> JsonResponse:
    return JsonResponse({"answers": True})
