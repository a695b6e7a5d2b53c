"""The pages of a timetable; each is asked for by whoever wants a board made, at an address of its own."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.numbers import whole_number
from shopapp.people.permissions import owner_only
from shopapp.plans.models import KeptTimetable, TimetableSearch
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .doing import doing_of, gone_in
from .forms import WishesForm
from .papers import paper_context
from .standing import ticked_of
from .wanted import Making


def timetable(request: HttpRequest, making: Making) -> HttpResponse:
    """GET shows the search, the newest kept, or a first timetable at once, and writes nothing; POST asks for one by the
    wishes that were sent."""
    search, kept = readers.newest_search(making), readers.kept_of(making)
    if request.method == "POST":
        owner_only(request.user)
        form = _form(request.POST, making)
        if not form.is_valid():
            return _page(request, making, form, search, kept, status=422)
        try:
            actions.ask_for_timetable(who=request.user, making=making, wishes=form.wishes(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That was asked for already; here is how far it is.")
        except PlannerError as error:
            form.add_error(None, str(error))
            return _page(request, making, form, search, kept, status=422)
        return redirect(making.here)
    wishes = search.wishes if search else kept[0].wishes if kept else readers.usual_wishes(making)
    form = _form(None, making, initial=WishesForm.initial_of(wishes, timezone.localdate()))
    return _page(request, making, form, search, kept, first_of=wishes)


def _form(data, making: Making, **kwargs) -> WishesForm:
    adhesives, finishes = readers.choices_of_materials()
    return WishesForm(
        data,
        today=timezone.localdate(),
        adhesives=adhesives,
        finishes=finishes,
        others=making.others(),
        by_hand=making.by_hand,
        **kwargs,
    )


def _page(
    request: HttpRequest,
    making: Making,
    form: WishesForm,
    search: TimetableSearch | None,
    kept: list[KeptTimetable],
    *,
    first_of=None,
    status: int = 200,
) -> HttpResponse:
    context: dict[str, object] = {
        "making": making,
        "form": form,
        "kept": [(one, making.to("timetable_kept", one.pk)) for one in kept],
        "together": set(form["together"].value() or []),
        "may": request.user.is_owner and not making.closed,
    }
    if search is not None and (not kept or search.asked_at > kept[0].kept_at):
        context |= _searched(making, search)
    elif kept:
        context |= _kept(making, kept[0])
    elif first_of is not None:
        try:
            context["seen"] = readers.first_look(making, first_of)
        except PlannerError as error:
            context["trouble"] = error
    return render(request, "plans/timetable/timetable.html", context, status=status)


def _searched(making: Making, search: TimetableSearch) -> dict[str, object]:
    looking = readers.looking(search)
    return {
        "looking": looking,
        "seen": looking.seen,
        "state_url": making.to("timetable_state"),
        "keep_url": making.to("timetable_keep"),
    }


def _kept(making: Making, kept: KeptTimetable, *, counts: bool = True) -> dict[str, object]:
    ticked = ticked_of(making.keys, kept.boards) if counts else {}
    seen = readers.seen_of(kept.form, kept.first, kept.wishes, kept.advice, ticked)
    return {
        "otherwise": readers.gets_there_otherwise(making, kept) if counts else "",
        "counts": counts,
        "found": kept,
        "seen": seen,
        "gone": gone_in(seen, timezone.localdate()) if counts else [],
        "doing_url": making.to("timetable_doing"),
        **paper_context(making, kept),
    }


def state(request: HttpRequest, making: Making) -> HttpResponse:
    """What the page asks while a search goes on; it never starts anything."""
    search = readers.newest_search(making)
    if search is None:
        return HttpResponse()
    context = {**_searched(making, search), "making": making, "may": request.user.is_owner and not making.closed}
    return render(request, "plans/timetable/_state.html", context)


def keep(request: HttpRequest, making: Making) -> HttpResponse:
    owner_only(request.user)
    search = get_object_or_404(TimetableSearch, pk=_number(request.POST.get("search", "")), key__in=making.keys)
    try:
        actions.keep_timetable(who=request.user, making=making, search=search, spend=_spend(request))
    except AlreadySent:
        messages.info(request, "It was kept already; here it is.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "The timetable is kept, and its evenings are booked.")
    return redirect(making.here)


def kept(request: HttpRequest, making: Making, made_pk: int) -> HttpResponse:
    """A kept timetable as it was kept."""
    found = get_object_or_404(KeptTimetable.objects.select_related("kept_by"), pk=made_pk, key__in=making.keys)
    newest = readers.kept_of(making)
    context = {"making": making, **_kept(making, found, counts=newest[0].pk == found.pk)}
    return render(request, "plans/timetable/kept.html", context)


def doing(request: HttpRequest, making: Making) -> HttpResponse:
    """GET shows tonight's card of the timetable that counts; POST ticks a step, takes a tick back, or plans the rest
    again."""
    found = next(iter(readers.kept_of(making)), None)
    if request.method == "GET" or found is None:
        return _doing(request, making, found)
    given = {"who": request.user, "making": making, "kept": found, "spend": _spend(request)}
    act, _, about = request.POST.get("do", "").partition(":")
    try:
        if _number(request.POST.get("timetable", "")) != found.pk:
            raise PlannerError("Another timetable was kept meanwhile.", mend="Here is the one that counts now.")
        if act in ("done", "not"):
            actions.tick(step=about, done=act == "done", **given)
            return redirect(f"{making.to('timetable_doing')}#{readers.anchor_of(about)}")
        if act == "again":
            actions.plan_the_rest(**given)
            messages.success(request, "What is left is planned from today on; the evenings are booked anew.")
            return redirect(making.to("timetable_doing"))
        raise PlannerError("Nothing was named to be done.", mend="Choose it from the page.")
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
    except PlannerError as error:
        return _doing(request, making, found, said=[str(error)], status=422)
    return redirect(making.to("timetable_doing"))


def _doing(
    request: HttpRequest, making: Making, found: KeptTimetable | None, said: list[str] | None = None, status: int = 200
) -> HttpResponse:
    context = {
        "making": making,
        "found": found,
        "here": making.to("timetable_doing"),
        "said": [{"message": words} for words in said or []],
        "shop": workshop_of(request),
        "unlike": making.unlike() if found else None,
        "doing": doing_of(making, found, timezone.localtime()) if found else None,
        "otherwise": readers.gets_there_otherwise(making, found) if found else "",
        "may_plan": request.user.is_owner and not making.closed,
    }
    return render(request, "plans/timetable/doing.html", context, status=status)


def answer(request: HttpRequest, making: Making) -> HttpResponse:
    """When it is ready, in a line, for the page of whoever wants it; asked for after the page stands."""
    return render(request, "plans/timetable/_answer.html", {"making": making, "ready": readers.ready_line(making)})


def _spend(request: HttpRequest):
    return lambda: spend_key(request.POST.get("form_key", ""))


def _number(text: str) -> int:
    return whole_number(text) or 0
