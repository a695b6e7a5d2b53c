"""Labels: pieces ticked, a paper chosen, the PDF waited for and opened."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.common.documents import pdf_answer
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import LabelSheet, StockPiece
from shopapp.lumber.rack.readers import by_wood, pieces_here
from shopapp.lumber.rack.views import asked_of
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import LabelForm

MOST_SHOWN = 300
LOCAL = ("localhost", "127.", "[::1]")


@require_http_methods(["GET", "POST"])
def labels(request: HttpRequest) -> HttpResponse:
    """Labels of the pieces the address narrows to; of the newest delivery where it asks for nothing."""
    seen = woods_seen()
    narrowed = asked_of(request, seen)
    asks = {name: value for name, value in narrowed.cleaned_data.items() if value and name in request.GET}
    delivery = None
    if request.GET.get("delivery") or not asks:
        delivery, found = _of_delivery(request.GET.get("delivery", ""))
    else:
        found = pieces_here(narrowed.cleaned_data)
    pieces = list(found[: MOST_SHOWN + 1])
    more, pieces = len(pieces) > MOST_SHOWN, pieces[:MOST_SHOWN]
    address = request.build_absolute_uri("/").rstrip("/")
    form = LabelForm(request.POST if request.method == "POST" else None, shop=workshop_of(request), address=address)
    ticked = set(request.POST.getlist("tick")) if request.method == "POST" else {str(piece.pk) for piece in pieces}
    if request.method == "POST" and form.is_valid():
        chosen = [piece for piece in pieces if str(piece.pk) in ticked]
        try:
            sheet = actions.ask_for_labels(
                who=request.user,
                pieces=chosen,
                paper=form.chosen_paper(),
                first=form.cleaned_data["first"],
                address=form.cleaned_data["address"],
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "These labels were asked for already.")
            return redirect("lumber:labels")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            return redirect(sheet)
    context = {
        "form": form,
        "groups": by_wood(pieces, seen),
        "count": len(pieces),
        "more": more,
        "delivery": delivery,
        "ticked": {piece.pk for piece in pieces if str(piece.pk) in ticked},
        "is_local": request.get_host().startswith(LOCAL),
    }
    return render(request, "lumber/labels/labels.html", context, status=422 if form.errors else 200)


def _of_delivery(number: str):
    here = StockPiece.objects.filter(state=StockPiece.State.HERE)
    if number.isascii() and number.isdigit() and len(number) < 18:
        found = here.filter(lot__delivery=int(number))
        piece = found.select_related("lot__delivery__supplier").first()
        return (piece.lot.delivery if piece else None), found
    delivery = readers.newest_delivery()
    return delivery, here.filter(lot__delivery=delivery)


@require_GET
def label_sheet(request: HttpRequest, sheet_pk: int) -> HttpResponse:
    return _sheet(request, sheet_pk, "lumber/labels/asked.html")


@require_GET
def label_sheet_state(request: HttpRequest, sheet_pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    return _sheet(request, sheet_pk, "lumber/labels/_state.html")


def _sheet(request: HttpRequest, sheet_pk: int, template: str) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, pk=sheet_pk)
    return render(request, template, {"sheet": sheet, "state": readers.sheet_state(sheet), "count": len(sheet.pieces)})


@require_GET
def label_sheet_pdf(request: HttpRequest, sheet_pk: int) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet.objects.select_related("document"), pk=sheet_pk)
    return pdf_answer(sheet.document, f"labels-{sheet.pk}.pdf", "These labels are not made yet.")
