"""Pages that answer one question of the whole rack: worth, promises, fit to mill, too short for anything."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.actions import Tick, read_ticks
from shopapp.lumber.stock.actions import scrap_pieces
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import lists, readers
from .forms import ScrapTogetherForm
from .planning import shortest_of_use

A_PAGE = 50


@require_GET
@owner_required
def worth(request: HttpRequest) -> HttpResponse:
    return render(request, "lumber/rack/worth.html", {"worths": lists.worths(woods_seen())})


@require_GET
def promised(request: HttpRequest) -> HttpResponse:
    found = lists.promised(woods_seen())
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "count": len(found), "pieces": sum(one.sums.pieces for one in found)}
    context["worth"] = sum(one.sums.worth for one in found)
    return render(request, "lumber/rack/promised.html", context)


@require_GET
def fit(request: HttpRequest) -> HttpResponse:
    today, seen = timezone.localdate(), woods_seen()
    page = Paginator(lists.lots_by_fitness(), A_PAGE).get_page(request.GET.get("page"))
    lines = [(lot, seen[lot.wood]) for lot in page]
    context = {"page": page, "lines": lines, "counts": lists.fitness_counts(today), "today": today}
    return render(request, "lumber/rack/fit.html", context)


@require_http_methods(["GET", "POST"])
def short(request: HttpRequest) -> HttpResponse:
    """Pieces too short for anything, with the rule; the owner may scrap those that are ticked."""
    form = ScrapTogetherForm(request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        if not request.user.is_owner:
            raise PermissionDenied
        if form.is_valid():
            try:
                entry = scrap_pieces(
                    who=request.user, pieces=_ticked(request), reason=form.cleaned_data["reason"], spend=form.spend
                )
            except AlreadySent:
                return redirect("lumber:short")
            except PlannerError as error:
                form.add_error(error.field if error.field in form.fields else None, str(error))
            else:
                messages.success(request, entry.words)
                return redirect("lumber:short")
        status = 422
    limit, seen = shortest_of_use(workshop_of(request)), woods_seen()
    found = lists.too_short(limit.value)
    sums = readers.sums_of(found)
    paginator = Paginator(found.select_related("demand"), readers.A_PAGE)
    paginator.count = sums.pieces
    page = paginator.get_page(request.GET.get("page"))
    context = {
        "form": form,
        "limit": limit.as_record(),
        "sums": sums,
        "page": page,
        "groups": readers.by_wood(list(page.object_list), seen),
        "ticked": {tick.pk for tick in _ticks(request)},
        "together": lists.scrapped_together() if request.user.is_owner else None,
    }
    return render(request, "lumber/rack/short.html", context, status=status)


def _ticks(request: HttpRequest) -> list[Tick]:
    try:
        return read_ticks(request.POST.getlist("tick"))
    except PlannerError:
        return []


def _ticked(request: HttpRequest) -> list[StockPiece]:
    """The ticked pieces, each held to the version that was seen."""
    seen = {tick.pk: tick.version for tick in read_ticks(request.POST.getlist("tick"))}
    pieces = list(StockPiece.objects.filter(pk__in=seen).select_related("demand").order_by("wood", "mark"))
    for piece in pieces:
        piece.edit_version = seen[piece.pk]
    return pieces
