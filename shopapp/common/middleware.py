"""On every answer the content policy, nothing inline and nothing from elsewhere, and that no copy is kept; and that
pages for everybody are opened without a look at who asks."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse


class ContentPolicyMiddleware:
    """Sets Content-Security-Policy from SECURE_CSP, the name and shape the framework's next series uses."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.policy = "; ".join(f"{name} {' '.join(values)}" for name, values in settings.SECURE_CSP.items())

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", self.policy)
        # Prices and pictures of this shop: nobody between keeps a copy, nor the browser once its owner signed out.
        response.headers.setdefault("Cache-Control", "private, no-store")
        response.headers.setdefault("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
        return response


class SignInMiddleware(LoginRequiredMiddleware):
    """The framework's own asks first who somebody is, and then whether the page wants to know. Of a page that does not
    the session is never opened, so that it may be kept on its way and is the same for all."""

    def process_view(self, request: HttpRequest, view_func, view_args, view_kwargs) -> HttpResponse | None:
        if not getattr(view_func, "login_required", True):
            return None
        return super().process_view(request, view_func, view_args, view_kwargs)
