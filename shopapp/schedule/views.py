"""The week: when somebody is in the shop, days that are different, and the coming weeks as they fall."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.forms import ShopForm
from shopapp.common.numbers import whole_number
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import AddSessionForm, ExceptionForm, SessionForm
from .models import SessionException, ShopSession


@require_GET
def week(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    days = readers.the_week()
    context = {
        "week": days,
        "has_hours": any(day.sessions for day in days),
        "left_out": any(one.people < workshop_of(request).people for day in days for one in day.sessions),
        "different": readers.different_days(today),
        "weeks": readers.coming_weeks(today),
        "today": today,
    }
    return render(request, "schedule/week.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def add_session(request: HttpRequest) -> HttpResponse:
    there = {"people": workshop_of(request).people}
    form = AddSessionForm(request.POST if request.method == "POST" else None, initial=there)

    def do() -> str:
        rows = actions.add_sessions(who=request.user, weekdays=form.days(), values=form.values(), spend=form.spend)
        return f"The week has {', '.join(row.get_weekday_display() for row in rows)}, {rows[0].from_to}."

    return _answer(request, form, do, "schedule/hours.html", {})


@require_http_methods(["GET", "POST"])
@owner_required
def session(request: HttpRequest, session_pk: int) -> HttpResponse:
    row = get_object_or_404(ShopSession, pk=session_pk)
    form = SessionForm.of(row, request.POST if request.method == "POST" else None)

    def do() -> str:
        now = actions.change_session(
            who=request.user, session=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
        )
        return f"The week has {now}."

    return _answer(request, form, do, "schedule/hours.html", {"row": row}, SessionForm.of)


@require_http_methods(["GET", "POST"])
@owner_required
def add_exception(request: HttpRequest) -> HttpResponse:
    there = {"people": workshop_of(request).people}
    form = ExceptionForm(request.POST if request.method == "POST" else None, initial=there)

    def do() -> str:
        return f"{actions.add_exception(who=request.user, values=form.values(), spend=form.spend)}."

    return _answer(request, form, do, "schedule/different.html", {})


@require_http_methods(["GET", "POST"])
@owner_required
def exception(request: HttpRequest, exception_pk: int) -> HttpResponse:
    row = get_object_or_404(SessionException, pk=exception_pk)
    form = ExceptionForm.of(row, request.POST if request.method == "POST" else None)

    def do() -> str:
        now = actions.change_exception(
            who=request.user, row=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
        )
        return f"{now}."

    return _answer(request, form, do, "schedule/different.html", {"row": row}, ExceptionForm.of)


@require_POST
@owner_required
def remove_session(request: HttpRequest, session_pk: int) -> HttpResponse:
    return _remove(request, ShopSession.objects.filter(pk=session_pk).first())


@require_POST
@owner_required
def remove_exception(request: HttpRequest, exception_pk: int) -> HttpResponse:
    return _remove(request, SessionException.objects.filter(pk=exception_pk).first())


def _answer(
    request: HttpRequest,
    form: ShopForm,
    do: Callable[[], str],
    template: str,
    context: dict[str, object],
    form_of: Callable[..., ShopForm] | None = None,
) -> HttpResponse:
    """The form's page; sent well, what it did, told on the week's page. ``form_of`` shows what stands of a row."""
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            told = do()
        except AlreadySent:
            return redirect("schedule:week")
        except EditConflict as clash:
            conflict_rows = form.against(form_of(clash.current))
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, told)
            return redirect("schedule:week")
    conflict = conflict_rows is not None
    context = {**context, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    return render(request, template, context, status=422 if form.errors else 409 if conflict else 200)


def _remove(request: HttpRequest, row: ShopSession | SessionException | None) -> HttpResponse:
    """Remove what the button names, if it is as it was seen."""
    seen = request.POST.get("edit_version", "")
    if row is not None:
        try:
            told = actions.remove_hours(
                who=request.user,
                row=row,
                seen_version=whole_number(seen, 9) or 0,
                spend=lambda: spend_key(request.POST.get("form_key", "")),
            )
        except AlreadySent:
            pass
        except EditConflict:
            messages.error(request, f"Somebody else changed it meanwhile; it is {row} now. Look at it again.")
            return redirect(row)
        else:
            messages.success(request, f"Taken out of the week: {told}.")
    return redirect("schedule:week")
