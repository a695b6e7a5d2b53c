"""One page for every entry of money a maker wrote: what it is, and where it was wrong the way to take it back."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.listings.models import Expense, SaleChange
from shopapp.people.permissions import owner_required

from .actions import mend_expense, mend_given_back
from .forms import MendForm
from .readers import Written, refused


@require_http_methods(["GET", "POST"])
@owner_required
def expense(request: HttpRequest, expense_pk: int) -> HttpResponse:
    rows = Expense.objects.select_related("piece", "fair", "channel", "undone_by", "undoes")
    found = get_object_or_404(rows, pk=expense_pk)
    return _page(request, found, (found.piece, found.fair), lambda **typed: mend_expense(expense=found, **typed))


@require_http_methods(["GET", "POST"])
@owner_required
def given_back(request: HttpRequest, change_pk: int) -> HttpResponse:
    rows = SaleChange.objects.select_related("sale__piece", "undone_by", "undoes")
    found = get_object_or_404(rows, pk=change_pk)
    return _page(request, found, (found.sale.piece,), lambda **typed: mend_given_back(change=found, **typed))


def _page(request: HttpRequest, row: Expense | SaleChange, of: tuple, mend: Callable) -> HttpResponse:
    told, words = Written.of(row), refused(row)
    form = MendForm(request.POST if request.method == "POST" else None, row=row, money=told.money)
    if request.method == "POST" and form.is_valid():
        try:
            mend(who=request.user, spend=form.spend, **form.typed())
        except AlreadySent:
            messages.info(request, "That was already written down.")
            return redirect(told.to)
        except PlannerError as error:
            form.add_error(_field(error.field, form), str(error))
        else:
            messages.success(request, "It is taken back, and stands there struck.")
            return redirect(next((one for one in of if one is not None), told.to))
    other = Written.of(row.undoes) if row.undoes is not None else None
    context = {"told": told, "of": [one for one in of if one], "refused": words, "form": form, "undoes": other}
    return render(request, "listings/mend.html", context, status=422 if form.errors else 200)


def _field(name: str | None, form: MendForm) -> str | None:
    name = "instead" if name == "back" else name
    return name if name in form.fields else None
