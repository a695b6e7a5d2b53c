"""The pages of a cut plan; each is asked for by whoever wants boards cut, at an address of its own."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.numbers import whole_number
from shopapp.plans.models import CutSearch, CutSheet
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .asmade.readers import on_sheet
from .forms import WishesForm
from .pieces import ToCut, free_for
from .sheets.pages import paper_context
from .sheets.steps import kinds_of
from .wanted import Cutting


def cut(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """GET shows the search that goes on, the newest sheet, or a first plan at once, and writes nothing; POST asks for a
    plan by the wishes that were sent."""
    workshop = workshop_of(request)
    free = free_for(readers.names_of(cutting), cutting.key)
    search, kept = readers.newest_search(cutting), readers.kept_sheets(cutting)
    if request.method == "POST":
        _owner_only(request)
        form = _form(request.POST, cutting, workshop, free)
        if not form.is_valid():
            return _page(request, cutting, form, free, search, kept, status=422)
        try:
            actions.ask_for_plan(
                who=request.user,
                cutting=cutting,
                wishes=form.wishes(),
                minutes=int(form.cleaned_data["minutes"]),
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That was asked for already; here is how far it is.")
        except PlannerError as error:
            return _page(request, cutting, form, free, search, kept, trouble=error, status=422)
        return redirect(cutting.here)
    wishes = _wishes(search, kept)
    form = _form(None, cutting, workshop, free, initial=WishesForm.initial_of(wishes))
    return _page(request, cutting, form, free, search, kept, wishes=wishes)


def _form(data, cutting: Cutting, workshop, free: ToCut, **kwargs) -> WishesForm:
    return WishesForm(
        data,
        shop=workshop,
        woods=list(readers.names_of(cutting).items()),
        kinds=readers.kinds_of(cutting),
        shades=readers.shades_of(free),
        marks=[piece.mark for piece in free.pieces],
        **kwargs,
    )


def _wishes(search: CutSearch | None, kept: list[CutSheet]) -> Mapping:
    """What was wished last, for the form to begin with."""
    return search.wishes if search is not None else kept[0].wishes if kept else {}


def _page(
    request: HttpRequest,
    cutting: Cutting,
    form: WishesForm,
    free: ToCut,
    search: CutSearch | None,
    kept: list[CutSheet],
    *,
    wishes: Mapping | None = None,
    trouble: PlannerError | None = None,
    moved: Mapping[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    workshop = workshop_of(request)
    context: dict[str, object] = {
        "cutting": cutting,
        "form": form,
        "groups": readers.of_woods(cutting, free),
        "ticked": set(form["leave_out"].value() or []),
        "bound": set(form["one_board"].value() or []),
        "kept": [(one, cutting.to("cut_sheet", one.pk)) for one in kept],
        "trouble": trouble,
        "moved": [{"message": words} for words in (moved or {}).values()],
        "may": request.user.is_owner and not cutting.closed,
        "open_wishes": bool(form.errors or trouble),
    }
    text = ""
    if readers.is_newer(search, kept):
        looking = readers.looking(search, cutting, workshop)
        context |= _looking(cutting, looking)
        text = "" if looking.goes_on else search.best
    elif kept:
        context |= _kept(cutting, CutSheet.objects.select_related("kept_by").get(pk=kept[0].pk), workshop)
    elif trouble is None and wishes is not None:
        first = context["first"] = readers.first_look(cutting, workshop, wishes, free)
        text = first.text
    if text:
        context |= readers.drawn(text, cutting, workshop)
    return render(request, "plans/cutting/cut.html", context, status=status)


def _kept(cutting: Cutting, sheet: CutSheet, workshop, *, counts: bool = True) -> dict[str, object]:
    """A kept sheet; the newest, which counts, is what is cut at the bench."""
    seen, as_made = readers.sheet_seen(sheet, cutting, workshop), on_sheet(cutting, sheet, workshop)
    return {
        "counts": counts,
        "to_doing": cutting.to("cut_doing"),
        "kept_seen": seen,
        "kinds": kinds_of(seen.set_ups),
        "as_made": as_made,
        **readers.drawn(sheet.form, cutting, workshop),
        **paper_context(cutting, sheet, as_made.newest),
    }


def _looking(cutting: Cutting, looking: readers.Looking) -> dict[str, object]:
    return {
        "looking": looking,
        "state_url": f"{cutting.to('cut_state')}?shown={looking.phase}",
        "stop_url": cutting.to("cut_stop"),
        "keep_url": cutting.to("cut_keep"),
    }


def state(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """What the page asks while a search goes on: its figures, and what can be done and which board gives what when
    that has changed."""
    search = readers.newest_search(cutting)
    if search is None:
        return HttpResponse()
    workshop = workshop_of(request)
    looking = readers.looking(search, cutting, workshop)
    changed = request.GET.get("shown") != looking.phase
    context = {
        **_looking(cutting, looking),
        "cutting": cutting,
        "acts_too": changed,
        "may": request.user.is_owner and not cutting.closed,
    }
    if changed and not looking.goes_on and search.best:
        context |= readers.drawn(search.best, cutting, workshop)
    return render(request, "plans/cutting/_state.html", context)


def stop(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    _owner_only(request)
    try:
        ended = actions.stop_looking(who=request.user, cutting=cutting, spend=_spend(request))
    except AlreadySent:
        ended = 0
    messages.info(request, "The search was stopped." if ended else "No search was going on any more.")
    return redirect(cutting.here)


def keep(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """Keep the best plan found; 409 and what changed, by mark, where the rack is not as it was."""
    _owner_only(request)
    number = request.POST.get("search", "")
    pk = whole_number(number) or 0
    search = get_object_or_404(CutSearch.objects.select_related("plan"), pk=pk, key=cutting.key)
    try:
        actions.keep_plan_of(who=request.user, cutting=cutting, search=search, spend=_spend(request))
    except AlreadySent:
        messages.info(request, "It was kept already; here it is.")
    except actions.RackMoved as error:
        workshop = workshop_of(request)
        free = free_for(readers.names_of(cutting), cutting.key)
        form = _form(None, cutting, workshop, free, initial=WishesForm.initial_of(search.wishes))
        kept = readers.kept_sheets(cutting)
        return _page(request, cutting, form, free, search, kept, moved=error.marks, status=409)
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "The cut plan is kept. Nothing will change it.")
    return redirect(cutting.here)


def sheet(request: HttpRequest, cutting: Cutting, cut_pk: int) -> HttpResponse:
    """A kept cut plan as it was kept."""
    found = get_object_or_404(CutSheet.objects.select_related("kept_by"), pk=cut_pk, key=cutting.key)
    kept = readers.kept_sheets(cutting)
    context = {
        "cutting": cutting,
        **_kept(cutting, found, workshop_of(request), counts=bool(kept) and kept[0].pk == found.pk),
    }
    return render(request, "plans/cutting/sheet.html", context)


def _spend(request: HttpRequest):
    return lambda: spend_key(request.POST.get("form_key", ""))


def _owner_only(request: HttpRequest) -> None:
    if not request.user.is_owner:
        raise PermissionDenied
