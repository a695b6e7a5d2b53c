"""Who may see what."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from .models import Member


def owner_required(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """For pages with prices and settings: the owner only."""

    @wraps(view)
    def checked(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        if not request.user.is_authenticated or not request.user.is_owner:
            raise PermissionDenied
        return view(request, *args, **kwargs)

    return checked


def owner_only(who: Member | None) -> None:
    """For actions on prices and settings; nobody at all is the shop itself, filling its demo."""
    if who is not None and not who.is_owner:
        raise PermissionDenied
