"""Consumables: what there is of each, what it is worth, and what happened to it."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.lumber.models import Supply
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import FORMS, HappenedForm, SupplyForm

A_PAGE = 50


@require_GET
def supplies(request: HttpRequest) -> HttpResponse:
    lines = readers.supply_lines()
    context = {"lines": lines, "worth": readers.worth_of_all(lines), "low": [line for line in lines if line.is_low]}
    return render(request, "lumber/supplies/supplies.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def add_supply(request: HttpRequest) -> HttpResponse:
    form = SupplyForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_supply(who=request.user, values=form.values(), spend=form.spend)
        except AlreadySent:
            return redirect("lumber:supplies")
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{row.name} is in the book. Write now what there is of it.")
            return redirect(row)
    return render(request, "lumber/supplies/edit.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def change_supply(request: HttpRequest, supply_pk: int) -> HttpResponse:
    row = get_object_or_404(Supply, pk=supply_pk)
    form = _edit_form(row, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_supply(
                who=request.user, supply=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(row)
        except EditConflict as clash:
            conflict_rows = form.against(_edit_form(clash.current, None))
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept.")
            return redirect(row)
    conflict = conflict_rows is not None
    context = {"form": form, "row": row, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "lumber/supplies/edit.html", context, status=status)


def _edit_form(row: Supply, data) -> SupplyForm:
    initial = {name: getattr(row, name) for name in ("name", "kind", "low", "place", "kept")}
    return SupplyForm(data, row=row, edit_version=row.edit_version, initial=initial)


@require_GET
def supply(request: HttpRequest, supply_pk: int) -> HttpResponse:
    return _supply_page(request, get_object_or_404(Supply, pk=supply_pk))


@require_POST
def supply_act(request: HttpRequest, supply_pk: int, act: str) -> HttpResponse:
    """Write what happened; where it cannot be, the page comes back with what was typed."""
    row = get_object_or_404(Supply, pk=supply_pk)
    if act not in FORMS:
        raise Http404("Nothing of that name happens to a consumable.")
    if act == "buy" and not request.user.is_owner:
        raise PermissionDenied
    form = FORMS[act](request.POST, supply=row, shop=workshop_of(request))
    if not form.is_valid():
        return _supply_page(request, row, form, status=422)
    try:
        told = _do(request, form, row)
    except AlreadySent:
        return redirect(row)
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return _supply_page(request, get_object_or_404(Supply, pk=supply_pk), form, status=422)
    messages.success(request, told)
    return redirect(row)


def _do(request: HttpRequest, form: HappenedForm, row: Supply) -> str:
    """What was written, in words."""
    typed = form.cleaned_data
    given = {"who": request.user, "supply": row, "amount": typed["amount"], "on": typed["on"], "spend": form.spend}
    if form.act == "buy":
        return actions.buy_supply(**given, cost=typed["cost"], supplier=typed["supplier"]).words
    if form.act == "use":
        return actions.use_supply(**given).words
    entry = actions.count_supply(**given)
    return entry.words if entry else "The book agrees with what was counted."


@require_POST
def supply_undo(request: HttpRequest, supply_pk: int) -> HttpResponse:
    """Undo an entry of a consumable by another."""
    row = get_object_or_404(Supply, pk=supply_pk)
    number = request.POST.get("entry", "")
    named = number.isascii() and number.isdigit() and len(number) < 18
    entry = row.entries.filter(pk=number).first() if named else None
    if entry is None:
        messages.error(request, "Nothing was named to be undone. Choose it from the page.")
        return redirect(row)
    try:
        undone = actions.undo_supply_entry(
            who=request.user, entry=entry, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, undone.words)
    return redirect(row)


def _supply_page(
    request: HttpRequest, row: Supply, sent: HappenedForm | None = None, status: int = 200
) -> HttpResponse:
    shop, undo = workshop_of(request), readers.undoable(row)
    offered = [
        sent if sent and sent.act == act else form(supply=row, shop=shop)
        for act, form in FORMS.items()
        if (act != "buy" or request.user.is_owner) and (act != "use" or row.amount or (sent and sent.act == act))
    ]
    context = {
        "line": readers.SupplyLine(row),
        "row": row,
        "forms": offered,
        "sent": sent,
        "page": Paginator(readers.story(row), A_PAGE).get_page(request.GET.get("page")),
        "undo": undo if undo and (undo.kind != "bought" or request.user.is_owner) else None,
    }
    return render(request, "lumber/supplies/supply.html", context, status=status)
