"""A stocktake on its pages: begun, counted on a phone piece by piece, closed, and undone."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.lumber.looks import wood_choices, woods_seen
from shopapp.lumber.models import StockPiece, Stocktake, StocktakeCount
from shopapp.lumber.rack.readers import places
from shopapp.lumber.stock.actions import undo_entry
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, closing, readers
from .actions import Found
from .differences import SIDES, lies, sizes, what_can_be_done, why_out
from .forms import BeginForm, CloseForm, CountForm, MarkForm

PAST = 20


@require_http_methods(["GET", "POST"])
def stocktakes(request: HttpRequest) -> HttpResponse:
    seen = woods_seen()
    form = BeginForm(request.POST if request.method == "POST" else None, woods=wood_choices(seen), places=places())
    if request.method == "POST" and form.is_valid():
        looks_at = form.looks_at()
        of = readers.scope_in_words(Stocktake(**looks_at), seen)
        try:
            begun = actions.begin_stocktake(who=request.user, of=of, spend=form.spend, **looks_at)
        except AlreadySent:
            return redirect("lumber:stocktakes")
        return redirect(begun)
    page = Paginator(readers.stocktakes(), PAST).get_page(request.GET.get("page"))
    rows = [(row, readers.scope_in_words(row, seen)) for row in page]
    context = {"form": form, "page": page, "rows": rows}
    return render(request, "lumber/counting/stocktakes.html", context, status=422 if form.errors else 200)


def _stocktake(stocktake_pk: int) -> Stocktake:
    related = ("begun_by", "closed_by", "entry")
    return get_object_or_404(Stocktake.objects.select_related(*related), pk=stocktake_pk)


@require_GET
def stocktake(request: HttpRequest, stocktake_pk: int) -> HttpResponse:
    row = _stocktake(stocktake_pk)
    if row.closed_at is None:
        return _counting(request, row)
    context = {
        "stocktake": row,
        "of": readers.scope_in_words(row, woods_seen()),
        "outcome": readers.outcome(row, workshop_of(request).unit),
        "counted": row.counts.count(),
    }
    return render(request, "lumber/counting/closed.html", context)


@dataclass(frozen=True)
class Told:
    """What is said after a mark was typed or tapped: of which piece, or between which it is to be chosen."""

    words: str
    piece: StockPiece | None = None
    good: bool = True
    choose: list[StockPiece] = field(default_factory=list)


def _counting(
    request: HttpRequest, row: Stocktake, told: Told | None = None, form: MarkForm | None = None
) -> HttpResponse:
    """The page where pieces are counted, or the part of it that changes when a mark was typed."""
    seen, show = woods_seen(), request.GET.get("show", "")
    pieces = readers.counted(row) if show == "counted" else readers.uncounted(row).order_by("place", "wood", "mark")
    so_far = readers.progress(row)
    paginator = Paginator(pieces, readers.A_PAGE)
    # How far the stocktake is has counted already.
    paginator.count = so_far.counted + so_far.beside if show == "counted" else so_far.left
    page = paginator.get_page(request.GET.get("page"))
    lines = [_line(one, seen, workshop_of(request).unit) for one in page]
    context = {
        "stocktake": row,
        "of": readers.scope_in_words(row, seen),
        "progress": so_far,
        "form": form or MarkForm(),
        "told": told,
        "show": show,
        "page": page,
        "lines": lines,
        "query": "show=counted&" if show == "counted" else "",
    }
    part = request.htmx and request.method == "POST"
    status = 422 if form and form.errors and not part else 200
    return render(request, f"lumber/counting/{'_counted_now' if part else 'stocktake'}.html", context, status=status)


def _line(one: StockPiece | StocktakeCount, seen, unit: str) -> dict[str, object]:
    """A piece still to count, or one that was counted, as its line says it."""
    if isinstance(one, StockPiece):
        return {"piece": one, "wood": seen[one.wood], "count": None}
    return {"piece": one.piece, "wood": seen[one.piece.wood], "count": one, "words": _count_in_words(one, unit)}


def _count_in_words(count: StocktakeCount, unit: str) -> str:
    if not count.found:
        return "not found"
    measured = [getattr(count, side) or getattr(count.piece, side) for side in SIDES]
    said = f"measures {sizes(measured, unit)}" if any(getattr(count, side) for side in SIDES) else ""
    lying = f"lies {lies(count.place)}" if count.moved else ""
    return ", ".join(words for words in (said, lying) if words) or "here, as in the book"


@require_POST
def stocktake_count(request: HttpRequest, stocktake_pk: int) -> HttpResponse:
    """A mark typed, or a line tapped: the piece is here. What is otherwise is said on the piece's own page."""
    row = _stocktake(stocktake_pk)
    if row.closed_at is not None:
        return _shut(request, row)
    tapped = request.POST.get("piece", "")
    if tapped:
        number = whole_number(tapped) or 0
        found = list(StockPiece.objects.filter(pk=number).select_related("demand"))
        form = MarkForm({"mark": found[0].mark if found else "", "form_key": request.POST.get("form_key", "")})
    else:
        form = MarkForm(request.POST)
        found = readers.pieces_marked(form.cleaned_data["mark"]) if form.is_valid() else []
    if not form.is_valid():
        return _counting(request, row, form=form)
    if not found:
        form.add_error(
            "mark",
            f"No piece has the mark “{form.cleaned_data['mark']}”. Look at the chalk again; a board that is not in the "
            "book yet comes in with what you buy.",
        )
        return _counting(request, row, form=form)
    if len(found) > 1:
        return _counting(request, row, Told("More than one piece may be meant. Which is it?", choose=found, good=False))
    try:
        told = _count(request, row, found[0], form)
    except PlannerError as error:
        told = Told(str(error), good=False)
    if request.htmx and tapped and request.POST.get("line"):
        line = {"piece": found[0], "wood": woods_seen()[found[0].wood], "count": None, "told": told}
        context = {"stocktake": row, "line": line, "progress": readers.progress(row)}
        return render(request, "lumber/counting/_tapped.html", context)
    if request.htmx:
        return _counting(request, row, told)
    (messages.success if told.good else messages.error)(request, told.words)
    return redirect(row)


def _count(request: HttpRequest, row: Stocktake, piece: StockPiece, form: MarkForm) -> Told:
    """Count a piece as here; in a stocktake of a place, what lay elsewhere lies here now."""
    elsewhere = bool(row.place) and piece.place != row.place
    before = StocktakeCount.objects.filter(stocktake=row, piece=piece).first()
    plain = before is not None and before.found and not any(getattr(before, side) for side in SIDES)
    try:
        actions.count_piece(
            who=request.user,
            stocktake=row,
            piece=piece,
            counted=Found(place=row.place if elsewhere else None),
            seen_version=before.edit_version if plain else 0,
            spend=form.spend,
        )
    except AlreadySent:
        return Told(f"{piece.mark} was counted already.", piece)
    except EditConflict as clash:
        said = _count_in_words(clash.current, workshop_of(request).unit)
        by = f" by {clash.current.counted_by.get_username()}" if clash.current.counted_by else ""
        return Told(
            f"{piece.mark} was counted before{by}: {said}. Change it on its page if it is otherwise.", piece, good=False
        )
    size = sizes([getattr(piece, side) for side in SIDES], workshop_of(request).unit)
    if piece.state != StockPiece.State.HERE:
        return Told(f"{piece.mark} is noted, but {why_out(piece)}. {what_can_be_done(piece)}", piece, good=False)
    moved = f" The book has it {lies(piece.place)}; it will be written as lying here." if elsewhere else ""
    return Told(f"{piece.mark} is counted: {size}.{moved}", piece)


@require_http_methods(["GET", "POST"])
def stocktake_piece(request: HttpRequest, stocktake_pk: int, mark: str) -> HttpResponse:
    """One piece of a stocktake: here or not, its sizes, where it lies."""
    row = _stocktake(stocktake_pk)
    if row.closed_at is not None:
        return _shut(request, row)
    piece = get_object_or_404(StockPiece.objects.select_related("demand"), mark=mark)
    if request.method == "GET":
        return _piece_page(request, row, piece)
    form = _count_form(request, row, piece, request.POST)
    if not form.is_valid():
        return _piece_page(request, row, piece, form, status=422)
    try:
        count = actions.count_piece(
            who=request.user,
            stocktake=row,
            piece=piece,
            counted=form.counted(),
            seen_version=form.seen_version,
            piece_seen=form.cleaned_data["piece_seen"],
            spend=form.spend,
        )
    except AlreadySent:
        return redirect(row)
    except EditConflict as clash:
        words = _count_in_words(clash.current, workshop_of(request).unit)
        by = clash.current.counted_by.get_username() if clash.current.counted_by else "Somebody"
        form.add_error(None, f"{by} counted {piece.mark} meanwhile: {words}. Send it again to put yours in its place.")
        form.data = {**form.data.dict(), "edit_version": str(clash.current.edit_version)}
        return _piece_page(request, row, piece, form, status=409)
    except StockMoved as error:
        piece.refresh_from_db()
        form.add_error(None, str(error))
        form.data = {**form.data.dict(), "piece_seen": str(piece.edit_version)}
        return _piece_page(request, row, piece, form, status=409)
    except PlannerError as error:
        messages.error(request, str(error))
        return redirect(row)
    messages.success(request, f"{piece.mark} is counted: {_count_in_words(count, workshop_of(request).unit)}.")
    return redirect(row)


def _count_form(request: HttpRequest, row: Stocktake, piece: StockPiece, data=None) -> CountForm:
    count = StocktakeCount.objects.filter(stocktake=row, piece=piece).first()
    return CountForm(data, stocktake=row, piece=piece, count=count, unit=workshop_of(request).unit)


def _piece_page(
    request: HttpRequest, row: Stocktake, piece: StockPiece, form: CountForm | None = None, status: int = 200
) -> HttpResponse:
    here = piece.state == StockPiece.State.HERE
    count = readers.counted(row).filter(piece=piece).first()
    context = {
        "stocktake": row,
        "piece": piece,
        "wood": woods_seen()[piece.wood],
        "here": here,
        "may_return": here or piece.state == StockPiece.State.MISSING,
        "why_out": "" if here else why_out(piece),
        "can_be_done": "" if here else what_can_be_done(piece),
        "count": count,
        "count_words": _count_in_words(count, workshop_of(request).unit) if count else "",
        "form": form or _count_form(request, row, piece),
    }
    return render(request, "lumber/counting/piece.html", context, status=status)


@require_POST
def stocktake_uncount(request: HttpRequest, stocktake_pk: int, mark: str) -> HttpResponse:
    row = _stocktake(stocktake_pk)
    piece = get_object_or_404(StockPiece, mark=mark)
    try:
        actions.take_back_count(who=request.user, stocktake=row, piece=piece, spend=_key_of(request))
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{piece.mark} is not counted any more.")
    return redirect(row)


@require_http_methods(["GET", "POST"])
@owner_required
def stocktake_close(request: HttpRequest, stocktake_pk: int) -> HttpResponse:
    """What is otherwise than the book has it; one press writes it."""
    row = _stocktake(stocktake_pk)
    if row.closed_at is not None:
        return _shut(request, row)
    form, status = CloseForm(request.POST if request.method == "POST" else None), 200
    if request.method == "POST":
        try:
            closed = _close(request, row, form)
        except AlreadySent:
            return redirect(row)
        except (closing.SeenOtherwise, StockMoved) as error:
            form.add_error(None, str(error))
            status = 409
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            if closed:
                told = "The differences are in the book." if closed.entry else "Nothing was written into the book."
                messages.success(request, f"The stocktake is closed. {told}")
                return redirect(closed)
    return _close_page(request, row, form, status)


def _close(request: HttpRequest, row: Stocktake, form: CloseForm) -> Stocktake | None:
    if request.POST.get("do") == "nothing":
        return closing.close_unwritten(who=request.user, stocktake=row, spend=form.spend)
    if not form.is_valid():
        return None
    return closing.close_stocktake(
        who=request.user,
        stocktake=row,
        seen=form.cleaned_data["seen"],
        rest_is_missing=form.cleaned_data["rest"] == "missing",
        spend=form.spend,
    )


def _close_page(request: HttpRequest, row: Stocktake, form: CloseForm, status: int) -> HttpResponse:
    shop = workshop_of(request)
    found = closing.closing_of(row, shop.unit)
    written, told = found.writes, [d for d in found.found if not d.is_written]
    context = {
        "stocktake": row,
        "of": readers.scope_in_words(row, woods_seen()),
        "form": form,
        "seen": found.seen,
        "progress": readers.progress(row),
        "written": written[: readers.MOST_SHOWN],
        "more": max(0, len(written) - readers.MOST_SHOWN),
        "told": told,
        "lost": sum(d.worth for d in written if d.kind == "missing"),
        "back": sum(d.worth for d in written if d.kind == "again"),
        "rest": found.rest,
        "rest_chosen": form.data.get("rest", "stays"),
    }
    return render(
        request, "lumber/counting/close.html", context, status=422 if form.errors and status == 200 else status
    )


@require_POST
@owner_required
def stocktake_undo(request: HttpRequest, stocktake_pk: int) -> HttpResponse:
    """Undo what a closed stocktake wrote, by an entry of its own."""
    row = _stocktake(stocktake_pk)
    if row.entry is None:
        messages.error(request, "This stocktake wrote nothing, so there is nothing to undo.")
        return redirect(row)
    try:
        undo_entry(who=request.user, entry=row.entry, spend=_key_of(request))
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "Undone: every piece is again as it was before this stocktake was closed.")
    return redirect(row)


def _key_of(request: HttpRequest):
    return lambda: spend_key(request.POST.get("form_key", ""))


def _shut(request: HttpRequest, row: Stocktake) -> HttpResponse:
    messages.info(request, "This stocktake is closed. Begin another one for what is left.")
    if request.htmx:
        return HttpResponse(headers={"HX-Redirect": row.get_absolute_url()})
    return redirect(row)
