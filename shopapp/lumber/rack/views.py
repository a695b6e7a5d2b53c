"""The rack as a list and as a table, and a piece with all that can be done with it."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.tables import answer
from shopapp.lumber.looks import wood_choices, woods_seen
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.promising.over import became_of
from shopapp.lumber.stock import actions
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.workshop.readers import workshop_of

from . import readers
from .forms import FORMS, FilterForm, PieceForm
from .lists import demands_here

FILTERS = ("wood", "least", "most", "place", "to", "fit", "lot", "mark", "free")


def asked_of(request: HttpRequest, seen) -> FilterForm:
    """What the address narrows the list to, read as far as it can be read."""
    form = FilterForm(
        request.GET,
        shop=workshop_of(request),
        woods=wood_choices(seen),
        places=readers.places(),
        demands=demands_here(),
        initial={},
    )
    form.is_valid()
    return form


@require_GET
def rack(request: HttpRequest) -> HttpResponse:
    seen = woods_seen()
    form = asked_of(request, seen)
    found = readers.pieces_here(form.cleaned_data)
    sums = readers.sums_of(found)
    paginator = Paginator(found.select_related("demand"), readers.A_PAGE)
    # The sums have counted already.
    paginator.count = sums.pieces
    page = paginator.get_page(request.GET.get("page"))
    kept = {name: request.GET[name] for name in FILTERS if request.GET.get(name)}
    context = {
        "form": form,
        "narrowed": bool(kept),
        "page": page,
        "groups": readers.by_wood(list(page.object_list), seen),
        "sums": sums,
        "asked": readers.asked_in_words(
            form.cleaned_data, seen, dict(form.fields["to"].choices[2:]), workshop_of(request).unit
        ),
        "query": f"{urlencode(kept)}&" if kept else "",
    }
    return render(request, "lumber/rack/rack.html", context, status=422 if form.errors else 200)


@require_GET
def rack_csv(request: HttpRequest) -> StreamingHttpResponse:
    """The list as it is narrowed, as a table."""
    seen, shop = woods_seen(), workshop_of(request)
    rows = readers.as_csv(
        readers.pieces_here(asked_of(request, seen).cleaned_data),
        seen,
        worth=request.user.is_owner,
        currency=shop.currency_code,
    )
    return answer("rack.csv", rows)


def _piece(mark: str) -> StockPiece:
    related = ("lot__delivery__supplier", "demand", "parent")
    return get_object_or_404(StockPiece.objects.select_related(*related), mark=mark)


@require_GET
def piece(request: HttpRequest, mark: str) -> HttpResponse:
    return _piece_page(request, _piece(mark))


@require_POST
def piece_act(request: HttpRequest, mark: str, act: str) -> HttpResponse:
    """Do one thing with a piece; where it cannot be, the page comes back with what was typed."""
    row = _piece(mark)
    if act not in FORMS:
        raise Http404("Nothing of that name is done with a piece.")
    form = FORMS[act](request.POST, piece=row, shop=workshop_of(request))
    if not form.is_valid():
        return _piece_page(request, row, form, status=422)
    stands = row.edit_version
    # It is changed only if it still is as it was seen.
    row.edit_version = form.seen_version
    try:
        told = _do(request, form, row)
    except AlreadySent:
        return redirect(row)
    except StockMoved as error:
        form.data = {**form.data.dict(), "edit_version": str(stands)}
        form.add_error(None, str(error))
        return _piece_page(request, _piece(mark), form, status=409)
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return _piece_page(request, _piece(mark), form, status=422)
    messages.success(request, told)
    return redirect(row)


def _do(request: HttpRequest, form: PieceForm, row: StockPiece) -> str:
    """What was done, in words."""
    typed = form.cleaned_data
    given = {"who": request.user, "piece": row, "spend": form.spend}
    if form.act == "split":
        parts = actions.split_piece(**given, parts=form.parts())
        return (
            f"Chalk {' and '.join([', '.join(p.mark for p in parts[:-1])] * (len(parts) > 1) + [parts[-1].mark])} on."
        )
    if form.act == "measure":
        actions.measure_piece(**given, size=actions.Size(typed["thickness"], typed["width"], typed["length"]))
        return f"The book has {row.mark} as it measures now."
    if form.act == "surface":
        actions.surface_piece(**given, thickness=typed["thickness"])
        return f"{row.mark} is surfaced."
    if form.act == "move":
        actions.move_piece(**given, place=typed["place"])
        return f"{row.mark} lies {typed['place'] or 'in no named place'} now."
    if form.act == "aside":
        actions.set_piece_aside(**given, reason=typed["reason"])
        return f"{row.mark} is set aside."
    if form.act == "back":
        actions.set_piece_aside(**given, reason="")
        return f"{row.mark} may be used again."
    actions.scrap_piece(**given, reason=typed["reason"])
    return f"{row.mark} is scrapped."


@require_POST
def piece_undo(request: HttpRequest, mark: str) -> HttpResponse:
    """Undo an entry of a piece; only those that its page offers."""
    row = _piece(mark)
    number = request.POST.get("entry", "")
    if not (number.isascii() and number.isdigit() and len(number) < 18):
        messages.error(request, "Nothing was named to be undone. Choose it from the page.")
        return redirect(row)
    entry = StockEntry.objects.filter(pk=number, moves__piece=row).first()
    if entry is None or entry.kind not in readers.UNDONE_HERE:
        if entry is not None and entry.kind == StockEntry.Kind.BOUGHT and not request.user.is_owner:
            raise PermissionDenied
        messages.error(request, "This is not undone here. A delivery is undone on its page.")
        return redirect(row)
    try:
        actions.undo_entry(who=request.user, entry=entry, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Undone: {entry.words}")
    return redirect(row)


def _piece_page(
    request: HttpRequest, row: StockPiece, sent: PieceForm | None = None, status: int = 200
) -> HttpResponse:
    shop = workshop_of(request)
    told = readers.history(row, workshop_of(request).unit)
    here = row.state == StockPiece.State.HERE
    leave_out = {"back"} if not row.set_aside else {"aside"}
    offered = [
        sent if sent and sent.act == act else form(piece=row, shop=shop)
        for act, form in FORMS.items()
        if (here and act not in leave_out) or (sent and sent.act == act)
    ]
    context = {
        "piece": row,
        "here": here,
        "became": became_of(row.demand.key) if row.state == StockPiece.State.TAKEN and row.demand else "",
        "feet": readers.piece_feet(row),
        "wood": woods_seen()[row.wood],
        "forms": offered,
        "sent": sent,
        "offcuts": list(row.offcuts.order_by("pk")),
        "history": told,
        "undo": readers.undoable(told),
    }
    return render(request, "lumber/rack/piece.html", context, status=status)
