"""Parcels on one page, each on its own, a piece packed, and what follows where one is damaged."""

from __future__ import annotations

from copy import copy
from decimal import Decimal
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, is_key
from shopapp.listings.mending.readers import carriage_of, spent
from shopapp.listings.models import Parcel, Piece
from shopapp.listings.pieces.readers import shop_of
from shopapp.listings.selling.forms import ActForm
from shopapp.listings.telling import ListingMoved
from shopapp.people.permissions import owner_required
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import AgainForm, BoxForm, CarriageForm, MoneyBackForm, ParcelMoveForm, PartBackForm

_FORMS = {form.act: form for form in (ParcelMoveForm, CarriageForm, MoneyBackForm, PartBackForm, AgainForm)}


@require_GET
@owner_required
def parcels(request: HttpRequest) -> HttpResponse:
    state = request.GET.get("state", "")
    state = state if state in ("under way", *Parcel.State.values) else ""
    page = Paginator(readers.parcels(state), readers.A_PAGE).get_page(request.GET.get("page"))
    query = f"{urlencode({'state': state})}&" if state else ""
    kinds = [("", "all"), ("under way", "under way"), *Parcel.State.choices[2:]]
    return render(request, "listings/parcels/parcels.html", {"page": page, "state": state, "query": query,
                                                             "kinds": kinds})  # fmt: skip


@require_http_methods(["GET", "POST"])
@owner_required
def pack(request: HttpRequest, piece_pk: int) -> HttpResponse:
    piece = get_object_or_404(Piece.objects.select_related("job__plan", "sale"), pk=piece_pk)
    shop = _shop(request, piece)
    box = readers.box_asked(piece, shop)
    initial = {"on": timezone.localdate(), "cover": piece.sale.gross if piece.sale else None}
    if box is not None:
        initial |= dict(zip(("length", "width", "height"), box.sizes, strict=True)) | {"grams": box.grams}
    form = BoxForm(request.POST if request.method == "POST" else None, shop=shop, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.pack(
                who=request.user, piece=piece, box=form.box(), on=form.cleaned_data["on"], spend=form.spend
            )
        except AlreadySent:
            messages.info(request, "It is packed already; its parcel stands on the page of the piece.")
            return redirect(piece)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{piece} is packed.")
            return redirect(made)
    context = {"piece": piece, "form": form, "box": box}
    return render(request, "listings/parcels/pack.html", context, status=422 if form.errors else 200)


def _shop(request: HttpRequest, piece: Piece) -> Workshop:
    """The shop of the request with the currency of the piece."""
    shop, its = copy(workshop_of(request)), shop_of(piece)
    shop.currency_symbol, shop.currency_exponent = its.currency_symbol, its.currency_exponent
    return shop


def _parcel(pk: int) -> Parcel:
    rows = Parcel.objects.select_related("piece__job__plan", "piece__sale", "sale", "person")
    return get_object_or_404(rows, pk=pk)


@require_GET
@owner_required
def parcel(request: HttpRequest, parcel_pk: int) -> HttpResponse:
    return _page(request, _parcel(parcel_pk))


def _page(request: HttpRequest, found: Parcel, sent: ActForm | None = None, status: int = 200) -> HttpResponse:
    acts = _acts(found)
    if sent is not None and sent.act not in acts:
        acts = [sent.act, *acts]
    tariff, trouble = readers.tariff_of(found, workshop_of(request))
    context = {
        "parcel": found,
        "events": list(found.events.select_related("who")),
        "tariff": tariff,
        "trouble": trouble,
        "paid": spent(carriage_of(found)),
        "remade": actions.remade(found) if found.state in actions.GOES_WRONG else None,
        "wrong": found.state in actions.GOES_WRONG,
        "forms": [sent if sent is not None and sent.act == act else _form(found, act, tariff) for act in acts],
        "sent": sent,
    }
    return render(request, "listings/parcels/parcel.html", context, status=status)


def _acts(found: Parcel) -> list[str]:
    acts = [ParcelMoveForm.act] if actions.NEXT[Parcel.State(found.state)] else []
    acts += [CarriageForm.act] if actions.may_pay_carrier(found) else []
    if found.state not in actions.GOES_WRONG:
        return acts
    stands = found.sale_id is not None and found.piece.sale_id == found.sale_id
    back = [MoneyBackForm.act, *([PartBackForm.act] if found.state == Parcel.State.DAMAGED else [])] if stands else []
    again = [] if actions.remade(found) else [AgainForm.act]
    return [*back, *again, *acts]


def _form(found: Parcel, act: str, tariff: dict | None = None, data=None) -> ActForm:
    if act == ParcelMoveForm.act:
        return ParcelMoveForm(data, record=found, carriage=Decimal(tariff["value"][1]) if tariff else None)
    if act == MoneyBackForm.act:
        return MoneyBackForm(data, record=found, left=_left(found))
    return _FORMS[act](data, record=found)


def _left(found: Parcel) -> Decimal | None:
    """What of the sale was not given back yet. One query."""
    if found.sale is None:
        return None
    return found.sale.gross - sum((one.back for one in found.sale.changes.all()), Decimal(0))


@require_POST
@owner_required
def parcel_act(request: HttpRequest, parcel_pk: int, act: str) -> HttpResponse:
    found = _parcel(parcel_pk)
    if act not in _FORMS:
        raise Http404("Nothing of that name is done to a parcel.")
    form = _form(found, act, data=request.POST)
    if not form.is_valid():
        return _page(request, found, form, status=422)
    try:
        where = _do(request, act, found, form)
    except AlreadySent:
        messages.info(request, "That was already written down.")
        return redirect(found)
    except ListingMoved as error:
        form.add_error(None, str(error))
        form.data = {**form.data.dict(), "edit_version": str(_parcel(parcel_pk).edit_version)}
        return _page(request, _parcel(parcel_pk), form, status=409)
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return _page(request, found, form, status=422)
    return redirect(where)


def _do(request: HttpRequest, act: str, found: Parcel, form: ActForm):
    """One of the acts; returns where to go on."""
    who, typed = request.user, form.cleaned_data
    if act == ParcelMoveForm.act:
        event = actions.move_parcel(
            who=who, parcel=found, state=typed["state"], on=typed["on"], words=typed["words"],
            carriage=typed.get("carriage"), seen_version=form.seen_version, spend=form.spend,
        )  # fmt: skip
        messages.success(request, event.words)
        return found
    if act == CarriageForm.act:
        actions.write_carriage(who=who, parcel=found, amount=typed["amount"], on=typed["on"], spend=form.spend)
        messages.success(request, "It is written down.")
        return found
    if act == AgainForm.act:
        job = actions.make_again(who=who, parcel=found, settled=typed["settled"], due=typed["due"], spend=form.spend)
        messages.success(request, f"{job.label} is written down.")
        return job
    keeps = act == PartBackForm.act
    actions.money_back(who=who, parcel=found, on=typed["on"], back=typed["back"], keeps=keeps, spend=form.spend)
    messages.success(request, found.piece.events.first().words)
    return found if keeps else found.piece


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, parcel_pk: int) -> HttpResponse:
    found = _parcel(parcel_pk)
    form = _change_form(request, found, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and not is_key(request.POST.get("form_key", "")):
        # Every field may be empty, so that a form without any would else empty the parcel.
        form.add_error(None, "The form did not come whole. Look at it, and send it once more.")
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_parcel(
                who=request.user, parcel=found, box=form.box(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            conflict_rows = form.against(_change_form(request, conflict.current, None))
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "The parcel is kept as it is now.")
            return redirect(found)
    conflict = conflict_rows is not None
    context = {"parcel": found, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "listings/parcels/change.html", context, status=status)


def _change_form(request: HttpRequest, found: Parcel, data) -> BoxForm:
    shop = copy(workshop_of(request))
    shop.currency_symbol, shop.currency_exponent = found.currency_symbol, found.currency_exponent
    initial = {name: getattr(found, name) for name in actions.Box.__dataclass_fields__}
    return BoxForm(data, shop=shop, packed=True, initial=initial, edit_version=found.edit_version)
