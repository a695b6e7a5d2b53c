"""What is done to a piece from its page: sold, given, brought elsewhere, taken back; which of two sales stands."""

from __future__ import annotations

from decimal import Decimal

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.common.templatetags.shop import money
from shopapp.listings.models import Piece, Sale, SaleChange
from shopapp.listings.selling import actions as selling
from shopapp.listings.selling.ending import let_stand, take_back, take_gift_back
from shopapp.listings.selling.forms import ActForm, BackForm, GivenForm, SoldForm
from shopapp.listings.selling.instead import is_somebody_s, send_instead
from shopapp.listings.telling import ListingMoved
from shopapp.people.permissions import owner_required

from . import actions, readers
from .act_forms import DetailsForm, GiftBackForm, InsteadForm, MoveForm
from .moving import bring

Where = Piece.Where


def form_of(act: str, view: readers.PieceView, data=None) -> ActForm | None:
    """The form of an act, None where there is none of that name, or nothing it could be about."""
    piece, plain = view.piece, {cls.act: cls for cls in (GivenForm, MoveForm, GiftBackForm, DetailsForm)}
    if act == SoldForm.act:
        about = {"shop": view.currency, "listing": view.listing, "through": view.shop_it_is_with}
        return SoldForm(data, record=piece, **about)
    if act == InsteadForm.act:
        return InsteadForm(data, record=piece) if piece.instead_of is not None else None
    if act == BackForm.act:
        sale = piece.sale
        return (
            None
            if sale is None
            else BackForm(data, record=piece, sale=sale, initial={"kind": SaleChange.Kind.RETURNED, "back": sale.gross})
        )
    return plain[act](data, record=piece) if act in plain else None


def acts_of(view: readers.PieceView) -> list[str]:
    """What may be done to a piece from where it is, the likeliest first."""
    piece = view.piece
    if piece.sale_id is not None:
        return [BackForm.act, DetailsForm.act]
    if piece.where == Where.GIVEN:
        return [GiftBackForm.act, DetailsForm.act]
    if piece.where == Where.GONE:
        return [MoveForm.act, DetailsForm.act]
    if piece.where in selling.FREE:
        first = [InsteadForm.act] if piece.instead_of is not None and is_somebody_s(piece.instead_of) else []
        return [*first, SoldForm.act, MoveForm.act, GivenForm.act, DetailsForm.act]
    return [DetailsForm.act]


def page(request: HttpRequest, piece: Piece, sent: ActForm | None = None, status: int = 200) -> HttpResponse:
    view = readers.piece_view(piece)
    forms = []
    if request.user.is_owner:
        acts = acts_of(view)
        if sent is not None and sent.act not in acts:
            acts = [sent.act, *acts]
        forms = [sent if sent is not None and sent.act == act else form_of(act, view) for act in acts]
    context = {"view": view, "forms": [form for form in forms if form is not None], "sent": sent}
    return render(request, "listings/pieces/piece.html", context, status=status)


@require_POST
@owner_required
def act(request: HttpRequest, piece_pk: int, act: str) -> HttpResponse:
    """Done, or the page comes back with what was typed and why it could not be."""
    piece = readers.the_piece(piece_pk)
    view = readers.piece_view(piece)
    form = form_of(act, view, request.POST)
    if form is None:
        if act == BackForm.act:
            messages.error(request, f"No sale of {piece} stands. Look at it as it is now.")
            return redirect(piece)
        raise Http404("Nothing of that name is done to a piece.")
    if not form.is_valid():
        return page(request, piece, form, status=422)
    try:
        said = _do(request, act, piece, form)
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except (selling.AlreadySold, ListingMoved) as error:
        form.add_error(None, str(error))
        return page(request, readers.the_piece(piece_pk), form, status=409)
    except EditConflict:
        form.add_error(None, f"{piece} was changed meanwhile. Look at it as it is now, and send it once more.")
        form.data = {**form.data.dict(), "edit_version": str(readers.the_piece(piece_pk).edit_version)}
        return page(request, readers.the_piece(piece_pk), form, status=409)
    except PlannerError as error:
        form.add_error(_field(error.field, form), str(error))
        return page(request, piece, form, status=422)
    else:
        messages.success(request, said)
    return redirect(piece)


def _field(name: str | None, form: ActForm) -> str | None:
    name = "got" if name == "price" else name
    return name if name in form.fields else None


def _do(request: HttpRequest, act: str, piece: Piece, form: ActForm) -> str:
    """One of the acts; returns what is told."""
    who, typed, spend = request.user, form.cleaned_data, form.spend
    if act == SoldForm.act:
        selling.sell(
            who=who, piece=piece, price=typed["got"], on=typed["on"], how=typed["how"], to_whom=typed["to_whom"],
            channel=typed["channel"], carriage=typed["carriage"] or Decimal(0), spend=spend,
        )  # fmt: skip
    elif act == GivenForm.act:
        selling.give(who=who, piece=piece, on=typed["on"], to_whom=typed["to_whom"], spend=spend)
    elif act == InsteadForm.act:
        send_instead(who=who, piece=piece, on=typed["on"], spend=spend)
    elif act == MoveForm.act:
        bring(who=who, piece=piece, going=form.going(), spend=spend)
    elif act == GiftBackForm.act:
        take_gift_back(who=who, piece=piece, on=typed["on"], spend=spend)
    elif act == DetailsForm.act:
        actions.change_piece(
            who=who, piece=piece, title=typed["title_is"], spares=typed["spares"], instead_of=typed.get("instead_of"),
            seen_version=form.seen_version, spend=spend,
        )  # fmt: skip
        return f"{typed['title_is']} is kept as it is now."
    else:
        take_back(
            who=who, sale=piece.sale, kind=typed["kind"], on=typed["on"], back=typed["back"], words=typed["words"],
            where=typed["where"], fees_back=typed["fees_back"] if typed["kind"] == "returned" else None, spend=spend,
        )  # fmt: skip
    return piece.events.first().words


def _named_sale(request: HttpRequest, piece: Piece) -> Sale | None:
    number = whole_number(request.POST.get("sale", ""))
    return piece.sales.filter(pk=number).first() if number is not None else None


@require_POST
@owner_required
def stands(request: HttpRequest, piece_pk: int) -> HttpResponse:
    """Of several sales of one piece, the one that is named stands."""

    def settle(sale: Sale, spend) -> str:
        let_stand(who=request.user, sale=sale, spend=spend)
        whom = f" to {sale.to_whom}" if sale.to_whom else ""
        return f"The sale{whom} stands; what was paid for any other goes back."

    return _clash(request, piece_pk, settle)


@require_POST
@owner_required
def gives_way(request: HttpRequest, piece_pk: int) -> HttpResponse:
    """A sale that came too late is over; what was paid goes back."""

    def settle(sale: Sale, spend) -> str:
        on = max(timezone.localdate(), sale.on)
        take_back(who=request.user, sale=sale, kind=SaleChange.Kind.GAVE_WAY, on=on, spend=spend)
        return f"It gave way; {money(sale.gross, sale)} goes back."

    return _clash(request, piece_pk, settle)


def _clash(request: HttpRequest, piece_pk: int, settle) -> HttpResponse:
    piece = get_object_or_404(Piece, pk=piece_pk)
    sale = _named_sale(request, piece)
    if sale is None:
        messages.error(request, "It is not said which sale is meant. Choose one of them.")
        return redirect(piece)
    try:
        messages.success(request, settle(sale, lambda: spend_key(request.POST.get("form_key", ""))))
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    return redirect(piece)
