"""What a piece cost, line by line as it was written, and what is known better by now; the owner's alone."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shopapp.common.actions import AlreadySent
from shopapp.common.forms import ShopForm
from shopapp.listings.models import Piece, PieceCost
from shopapp.people.permissions import owner_required

from .actions import differences, write_difference


@dataclass(frozen=True)
class InAll:
    """What the rows of one currency come to, and how much of that follows from the plan alone."""

    currency_symbol: str
    currency_exponent: int
    amount: Decimal
    planned: Decimal


@require_http_methods(["GET", "POST"])
@owner_required
def cost(request: HttpRequest, piece_pk: int) -> HttpResponse:
    piece = get_object_or_404(Piece.objects.select_related("job__plan"), pk=piece_pk)
    form = ShopForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            rows = write_difference(who=request.user, job=piece.job, spend=form.spend)
        except AlreadySent:
            messages.info(request, "That was already written down.")
        else:
            messages.success(request, "It is written down as it is known now." if rows else "Nothing is known better.")
        return redirect("listings:cost", piece.pk)
    rows = list(piece.costs.select_related("who"))
    better = differences(piece.job)
    context = {
        "piece": piece,
        "rows": rows,
        "sums": _sums(rows),
        "better": better,
        "of_pieces": len({row.piece_id for row in better}),
        "more": _sums(better),
        "form": form,
    }
    return render(request, "listings/costing/cost.html", context)


def _sums(rows: list[PieceCost]) -> list[InAll]:
    found: dict[tuple[str, int], list[Decimal]] = {}
    for row in rows:
        one = found.setdefault((row.currency_symbol, row.currency_exponent), [Decimal(0), Decimal(0)])
        one[0] += row.amount
        one[1] += row.amount if row.basis == PieceCost.Basis.PLANNED else 0
    return [InAll(*currency, *amounts) for currency, amounts in found.items()]
