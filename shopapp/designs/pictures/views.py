"""A picture brought, and the page that waits for its reading."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.designs.views import design_in_view

from . import actions, readers
from .forms import BringForm


@require_http_methods(["GET", "POST"])
def bring(request: HttpRequest) -> HttpResponse:
    form = BringForm(request.POST, request.FILES) if request.method == "POST" else BringForm()
    if request.method == "POST" and form.is_valid():
        try:
            design = actions.bring_picture(
                who=request.user,
                name=form.cleaned_data["name"],
                upload=form.cleaned_data["picture"],
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That picture was already brought; it is in the list once.")
            return redirect("designs:designs")
        except PlannerError as error:
            form.add_error("picture", str(error))
        else:
            return redirect(design)
    return render(request, "designs/bring.html", {"form": form}, status=422 if form.errors else 200)


@require_GET
def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """What the waiting page asks every second; once the picture is read it sends the page to itself."""
    found = design_in_view(pk)
    state = readers.reading_state(found)
    response = render(request, "designs/_reading.html", {"design": found, "state": state})
    if state.word == "read":
        response["HX-Refresh"] = "true"
    return response
