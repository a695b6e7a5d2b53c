"""Who may sign in: the owner's page."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.people.models import Member
from shopapp.people.permissions import owner_required

from . import actions
from .forms import HelperForm


@require_GET
@owner_required
def members(request: HttpRequest) -> HttpResponse:
    return render(request, "people/members/members.html", {"members": _everybody()})


def _everybody() -> list[Member]:
    return list(Member.objects.order_by("-role", "username"))


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    form = HelperForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            helper, password = actions.add_helper(who=request.user, name=form.cleaned_data["name"], spend=form.spend)
        except AlreadySent:
            return _sent_before(request)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            return _told_once(request, helper, password)
    return render(request, "people/members/new.html", {"form": form}, status=422 if form.errors else 200)


@require_POST
@owner_required
def act(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop a helper, let them in again, or give them a new password."""
    helper = get_object_or_404(Member, pk=pk)
    given = {"who": request.user, "helper": helper, "spend": lambda: spend_key(request.POST.get("form_key", ""))}
    try:
        match request.POST.get("do"):
            case "password":
                return _told_once(request, *actions.give_password(**given))
            case "stop":
                actions.let_in(**given, may=False)
                messages.success(request, f"{helper.username} is signed out and may not sign in any more.")
            case "again":
                actions.let_in(**given, may=True)
                messages.success(request, f"{helper.username} may sign in again.")
            case _:
                messages.error(request, "Nothing was named to be done. Choose it from the page.")
    except AlreadySent:
        return _sent_before(request)
    except PlannerError as error:
        messages.error(request, str(error))
    return redirect("people:members")


def _told_once(request: HttpRequest, helper: Member, password: str) -> HttpResponse:
    """The one page that has the password in it; no browser keeps it."""
    answer = render(request, "people/members/password.html", {"helper": helper, "secret": password})
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _sent_before(request: HttpRequest) -> HttpResponse:
    messages.info(request, "That was done already. A password that was not noted cannot be read again: give a new one.")
    return redirect("people:members")
