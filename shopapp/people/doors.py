"""Pages that several apps open at addresses of their own: a plan and a job are cut, made and timed by the same pages.

Whoever opens a door gives a function that finds who wants it, by the number in the address; the page is told that and
whatever else stands in the address, in its order. Nothing is looked for before it is known who asks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.urls import URLPattern, path
from django.views.decorators.http import require_http_methods

from .permissions import owner_required

READ, WRITE, BOTH = ("GET", "HEAD"), ("POST",), ("GET", "HEAD", "POST")


@dataclass(frozen=True)
class Page:
    """``name`` of the address and where it lies ``below`` the door's own, the page, what it answers to, and whether it
    is the owner's alone."""

    name: str
    below: str
    page: Callable[..., HttpResponse]
    methods: Sequence[str] = READ
    owners: bool = False


def door(root: str, pages: Sequence[Page], find: Callable[[int], object]) -> list[URLPattern]:
    """The addresses of ``pages`` below ``<int:pk>/root/``; ``find`` raises Http404 where there is nobody."""
    return [path(f"<int:pk>/{root}/{one.below}", _view(one, find), name=one.name) for one in pages]


def _view(one: Page, find: Callable[[int], object]) -> Callable[..., HttpResponse]:
    def view(request: HttpRequest, pk: int, **more: object) -> HttpResponse:
        return one.page(request, find(pk), *more.values())

    return require_http_methods(one.methods)(owner_required(view) if one.owners else view)
