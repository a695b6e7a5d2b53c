"""The page where a tile or a dry row is written down, asked for by whoever wants boards cut (``Cutting.to``:
"cut_as_made" with the sheet's number)."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import MeasuredForm
from .planning import Followed, follow, planned


def as_made(request: HttpRequest, cutting: Cutting, cut_pk: int) -> HttpResponse:
    """GET shows what follows from what is typed in the address, or else from the newest measure, and writes nothing;
    POST keeps a measure."""
    workshop = workshop_of(request)
    sheet = get_object_or_404(CutSheet.objects.select_related("plan"), pk=cut_pk, key=cutting.key)
    seen = readers.on_sheet(cutting, sheet, workshop)
    typed = request.POST if request.method == "POST" else request.GET if "length" in request.GET else None
    form = MeasuredForm(typed, tile=planned(sheet.plan.record), shop=workshop, initial=_initial(seen))
    followed = None if typed is not None else seen.followed
    if form.is_bound and form.is_valid():
        try:
            followed = _followed(form, sheet, workshop)
            if request.method == "POST":
                return _kept(request, cutting, sheet, form)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
    context = {
        "cutting": cutting,
        "here": cutting.to("cut_as_made", sheet.pk),
        "sheet_url": cutting.to("cut_sheet", sheet.pk),
        "sheet": sheet,
        "form": form,
        "as_made": seen,
        "followed": followed,
        "kept": typed is None,
    }
    live = request.htmx and request.method == "GET"
    template = "plans/cutting/as_made/_live.html" if live else "plans/cutting/as_made/as_made.html"
    # A fragment with errors is still the answer asked for, so htmx gets 200 and shows it.
    response = render(request, template, context, status=422 if form.errors and not live else 200)
    response.headers["Vary"] = "HX-Request"
    return response


def _followed(form: MeasuredForm, sheet: CutSheet, workshop) -> Followed:
    keep = form.cleaned_data["keep"]
    return follow(sheet.plan.record, sheet.form, sheet.set_ups_record, form.measured, keep, workshop)


def _kept(request: HttpRequest, cutting: Cutting, sheet: CutSheet, form: MeasuredForm) -> HttpResponse:
    try:
        actions.keep_measure(
            who=request.user,
            cutting=cutting,
            sheet=sheet,
            measured=form.measured,
            keep=form.cleaned_data["keep"],
            spend=form.spend,
        )
    except AlreadySent:
        messages.info(request, "That measure was kept already; here is what follows from it.")
    else:
        messages.success(request, "The measure is kept and counts from now on.")
    return redirect(cutting.to("cut_as_made", sheet.pk))


def _initial(seen: readers.OnSheet) -> dict[str, object]:
    """The newest measure, for the form to begin with; the length is measured anew."""
    if seen.newest is None:
        return {}
    newest = seen.newest
    pieces = newest.pieces if newest.pieces != newest.tiles else None
    return {"tiles": newest.tiles, "pieces": pieces, "width": newest.width, "keep": newest.keep}
