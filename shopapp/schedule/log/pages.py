"""The pages of time at a piece of work; each is asked for by whoever the work is for, at an address of its own
(``Timed.to``: "time", and "time_entry" and "time_back" with an entry's number)."""

from __future__ import annotations

from fractions import Fraction

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.schedule.models import TimeEntry

from . import actions, readers
from .forms import QUICK, TimeForm, typed_amount
from .planning import counts_of_record, is_operation, operation_words
from .timed import Timed

ALREADY = "That was written down already; it is in the log once."


def time(request: HttpRequest, timed: Timed) -> HttpResponse:
    """GET shows what is written down and asks for more; POST writes an entry, or says that operations are done."""
    if request.method == "POST" and request.POST.get("do"):
        return _say_done(request, timed)
    planned = counts_of_record(timed.record)
    form = _form(request, timed)
    if request.method == "POST" and form.is_valid():
        facts = form.facts(request.user)
        try:
            actions.log_time(
                who=request.user, key=timed.key, label=timed.label, facts=facts, planned=planned, spend=form.spend
            )
        except AlreadySent:
            messages.info(request, ALREADY)
        else:
            messages.success(request, f"{facts.minutes} min at “{operation_words(facts.operation)}” written down.")
        at = "" if facts.finishes else f"?at={facts.operation}"
        return redirect(f"{timed.here}{at}")
    context = {
        "timed": timed,
        "page": readers.time_page(timed, request.user),
        "form": form,
        "quick": [(minutes, _minutes_words(minutes)) for minutes in QUICK],
        "home_shown": timed.home_for_all or request.user.is_owner,
    }
    return render(request, "schedule/log/time.html", context, status=422 if form.errors else 200)


def _form(request: HttpRequest, timed: Timed) -> TimeForm:
    given = {"planned": counts_of_record(timed.record), "members": readers.members(request.user)}
    if request.method != "POST":
        at = request.GET.get("at", "")
        return TimeForm(None, initial={"operation": at} if is_operation(at) else {}, **given)
    data, quick = request.POST.copy(), request.POST.get("quick", "")
    if quick in map(str, QUICK):
        data["minutes"] = quick
    return TimeForm(data, **given)


def _minutes_words(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))


def _say_done(request: HttpRequest, timed: Timed) -> HttpResponse:
    """``do`` is what the pressed button says: "done:crosscut", or "done:" for all that is under way."""
    asked = request.POST.get("do", "").removeprefix("done:")
    under_way = readers.time_page(timed, request.user).open_operations
    operations = [key for key in under_way if asked in ("", key)]
    try:
        made = actions.say_done(
            who=request.user,
            key=timed.key,
            label=timed.label,
            operations=operations,
            on=timezone.localdate(),
            planned=counts_of_record(timed.record),
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, ALREADY)
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        words = ", ".join(f"“{operation_words(entry.operation)}”" for entry in made)
        messages.success(request, f"{words}: done. The time is learned from.")
    return redirect(timed.here)


def entry(request: HttpRequest, timed: Timed, entry_pk: int) -> HttpResponse:
    """An entry mended, or one that was taken back put back: another takes its place."""
    found = _entry(timed, entry_pk)
    line = readers.EntryLine(found, request.user.is_owner or found.by_id == request.user.pk)
    if not line.mine:
        raise PermissionDenied
    if not line.may_mend:
        messages.info(request, "Another took the place of that entry. Here is how it stands.")
        return redirect(timed.here)
    planned = counts_of_record(timed.record)
    before = found.mends if found.kind == TimeEntry.Kind.TAKEN_BACK else found
    data = request.POST if request.method == "POST" else None
    form = TimeForm(data, planned=planned, members=readers.members(request.user), initial=_initial_of(before))
    if request.method == "POST" and form.is_valid():
        facts = form.facts(request.user)
        try:
            actions.mend_time(who=request.user, entry=found, facts=facts, planned=planned, spend=form.spend)
        except AlreadySent:
            messages.info(request, ALREADY)
        except actions.MendedMeanwhile as error:
            messages.info(request, str(error))
        else:
            messages.success(request, f"{facts.minutes} min at “{operation_words(facts.operation)}” count now.")
        return redirect(timed.here)
    context = {
        "timed": timed,
        "form": form,
        "entry": found,
        "before": readers.EntryLine(before, True),
        "taken_back": found.kind == TimeEntry.Kind.TAKEN_BACK,
    }
    return render(request, "schedule/log/entry.html", context, status=422 if form.errors else 200)


def _initial_of(before: TimeEntry) -> dict[str, object]:
    names = ("operation", "on", "finishes", "note")
    count = typed_amount(before.operation, Fraction(before.count)) if before.count else ""
    return {
        **{name: getattr(before, name) for name in names},
        "minutes": str(before.minutes or ""),
        "count": count,
        "by": str(before.by_id or ""),
    }


def back(request: HttpRequest, timed: Timed, entry_pk: int) -> HttpResponse:
    found = _entry(timed, entry_pk)
    try:
        actions.take_back(who=request.user, entry=found, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "That was taken back already.")
    except PlannerError as error:
        messages.info(request, str(error))
    else:
        messages.success(request, f"Taken back: {found.minutes} min at “{operation_words(found.operation)}”.")
    return redirect(timed.here)


def _entry(timed: Timed, pk: int) -> TimeEntry:
    return get_object_or_404(TimeEntry.objects.select_related("by", "mends__by", "mended_by"), key=timed.key, pk=pk)
