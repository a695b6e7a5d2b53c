"""Fairs on one page, each on its own, what is packed for it, what it cost."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.listings.models import Fair, Piece, Sale
from shopapp.listings.selling.ending import let_stand
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import COSTS, FairForm


@require_GET
@owner_required
def fairs(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.fairs(), readers.A_PAGE).get_page(request.GET.get("page"))
    return render(request, "listings/fairs/fairs.html", {"page": page, "query": "", "today": timezone.localdate()})


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    form = FairForm(request.POST if request.method == "POST" else None, shop=workshop_of(request))
    if request.method == "POST" and form.is_valid():
        try:
            fair = actions.plan_fair(who=request.user, facts=form.facts(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That fair was already written down.")
            return redirect("listings:fairs")
        else:
            messages.success(request, f"{fair} is written down.")
            return redirect(fair)
    return render(request, "listings/fairs/new.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, fair_pk: int) -> HttpResponse:
    found, shop = get_object_or_404(Fair, pk=fair_pk), workshop_of(request)
    form, rows = FairForm(request.POST if request.method == "POST" else None, shop=shop, fair=found), None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_fair(
                who=request.user, fair=found, facts=form.facts(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            rows = form.against(FairForm(None, shop=shop, fair=conflict.current))
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept as it is now.")
            return redirect(found)
    context = {"fair": found, "form": form, "conflict": rows is not None, "conflict_rows": rows}
    status = 422 if form.errors else 409 if rows is not None else 200
    return render(request, "listings/fairs/change.html", context, status=status)


@require_GET
@owner_required
def fair(request: HttpRequest, fair_pk: int) -> HttpResponse:
    found = get_object_or_404(Fair, pk=fair_pk)
    context = {
        "fair": found,
        "view": readers.fair_view(found, workshop_of(request)),
        "offered": readers.offered(found),
        "clashes": readers.clashes(found),
        "is_over": found.last < timezone.localdate(),
    }
    return render(request, "listings/fairs/fair.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def pack(request: HttpRequest, fair_pk: int) -> HttpResponse:
    """Pieces that are here, to be ticked; all that are ticked go, or none."""
    found, said, status = get_object_or_404(Fair, pk=fair_pk), [], 200
    if request.method == "POST":
        numbers = [whole_number(text, 15) or 0 for text in request.POST.getlist("tick")]
        try:
            many = actions.pack(
                who=request.user,
                fair=found,
                pieces=list(Piece.objects.filter(pk__in=numbers)),
                spend=lambda: spend_key(request.POST.get("form_key", "")),
            )
        except AlreadySent:
            messages.info(request, "Those were packed already.")
            return redirect(found)
        except PlannerError as error:
            said, status = [{"message": str(error)}], 422
        else:
            messages.success(request, f"{many} packed for {found}.")
            return redirect(found)
    ticked = set(request.POST.getlist("tick"))
    pieces = list(readers.to_pack())
    context = {
        "fair": found,
        "pieces": pieces,
        "ticked": {piece.pk for piece in pieces if str(piece.pk) in ticked},
        "said": said,
    }
    return render(request, "listings/fairs/pack.html", context, status=status)


@require_http_methods(["GET", "POST"])
@owner_required
def costs(request: HttpRequest, fair_pk: int) -> HttpResponse:
    """What it cost and how long somebody stood there: two forms, of which one is sent."""
    found, shop = get_object_or_404(Fair, pk=fair_pk), workshop_of(request)
    sent = None
    if request.method == "POST":
        act = request.POST.get("act", "")
        if act not in COSTS:
            raise Http404("Nothing of that kind is written down of a fair.")
        sent = COSTS[act](request.POST, fair=found, shop=shop)
        if sent.is_valid() and _written(request, found, sent):
            return redirect("listings:fair_costs", found.pk)
    forms = {
        act: sent if sent is not None and sent.act == act else form(fair=found, shop=shop)
        for act, form in COSTS.items()
    }
    context = {"fair": found, "view": readers.fair_view(found, shop), "forms": forms, "sent": sent}
    return render(request, "listings/fairs/costs.html", context, status=422 if sent is not None else 200)


def _written(request: HttpRequest, found: Fair, form) -> bool:
    typed = form.cleaned_data
    try:
        if form.act == "hours":
            actions.write_hours(who=request.user, fair=found, on=typed["day"], minutes=form.minutes, spend=form.spend)
        else:
            told = {name: typed[name] for name in ("kind", "amount", "on", "words")}
            actions.write_expense(who=request.user, fair=found, spend=form.spend, **told)
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return False
    else:
        messages.success(request, "It is written down.")
    return True


@require_POST
@owner_required
def home(request: HttpRequest, fair_pk: int) -> HttpResponse:
    """All that is left there is here again, or the one piece that is named."""
    found = get_object_or_404(Fair, pk=fair_pk)
    named = request.POST.get("piece", "")
    piece = get_object_or_404(Piece, pk=whole_number(named, 15) or 0) if named else None
    said = f"{piece} is here again." if piece else f"What was left at {found} is here again."
    _pressed(request, lambda spend: actions.bring_home(who=request.user, fair=found, piece=piece, spend=spend), said)
    return redirect(found)


@require_POST
@owner_required
def stands(request: HttpRequest, fair_pk: int) -> HttpResponse:
    """Of two sales of one piece the one that is named stands; the other gives way."""
    found = get_object_or_404(Fair, pk=fair_pk)
    sale = get_object_or_404(Sale, pk=whole_number(request.POST.get("sale", ""), 15) or 0)
    if sale not in [one for clash in readers.clashes(found) for one in clash.sales]:
        messages.error(request, "That is settled already; here is how it stands.")
        return redirect(found)
    said = f"That sale of {sale.piece} stands. Give the money of the other back."
    _pressed(request, lambda spend: let_stand(who=request.user, sale=sale, spend=spend), said)
    return redirect(found)


def _pressed(request: HttpRequest, do, said: str) -> None:
    """One button of its own: done, done before, or refused in words."""
    try:
        do(lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "That was done already.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, said)
