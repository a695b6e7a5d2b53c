"""A picture brought, the page that waits for its reading, and whose it is."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.designs.models import Design, RightsAnswer
from shopapp.designs.views import design_in_view
from shopapp.people.permissions import owner_required

from . import actions, readers, rights
from .forms import AnswerForm, BringForm, RightsForm


@require_http_methods(["GET", "POST"])
def bring(request: HttpRequest) -> HttpResponse:
    form = BringForm(request.POST, request.FILES) if request.method == "POST" else BringForm()
    if request.method == "POST" and form.is_valid():
        try:
            design = actions.bring_picture(
                who=request.user,
                name=form.cleaned_data["name"],
                upload=form.cleaned_data["picture"],
                rights=form.cleaned_data["rights"],
                note=form.note,
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
    if state.word in ("read", "no grid"):
        response["HX-Refresh"] = "true"
    return response


@require_http_methods(["GET", "POST"])
@owner_required
def whose(request: HttpRequest, pk: int) -> HttpResponse:
    """Whose the picture is; and, as a form of its own, what is asked before a board of it is quoted or listed."""
    found = design_in_view(pk)
    purpose = request.POST.get("purpose") or request.GET.get("before", "")
    asks = purpose in dict(RightsAnswer.PURPOSES)
    form = _rights_form(found, request.POST if request.method == "POST" else None, asks=asks)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        said = {"who": request.user, "design": found, "rights": form.cleaned_data["rights"], "note": form.note}
        try:
            if asks:
                rights.answer_rights(**said, purpose=purpose, seen_version=form.seen_version, spend=form.spend)
            else:
                rights.say_whose(**said, seen_version=form.seen_version, spend=form.spend)
        except AlreadySent:
            messages.info(request, "That answer was already kept.")
            return redirect(found)
        except EditConflict as conflict:
            conflict_rows = form.against(_rights_form(conflict.current, None, asks=asks))
        else:
            messages.success(request, "The answer is kept." if asks else "Whose the picture is, is written down.")
            return redirect(found)
    context = readers.whose_page(found) | {
        "form": form,
        "purpose": purpose if asks else "",
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
    }
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "designs/whose.html", context, status=status)


def _rights_form(design: Design, data, *, asks: bool) -> RightsForm:
    kind = AnswerForm if asks else RightsForm
    return kind(data, initial=RightsForm.initial_of(design), edit_version=design.edit_version)
