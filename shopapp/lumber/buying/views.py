"""Suppliers, a delivery as it is typed in the yard, and deliveries in the book."""

from __future__ import annotations

import json

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common import tables
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.lumber.looks import wood_choices, woods_seen
from shopapp.lumber.models import Delivery, Supplier
from shopapp.lumber.stock.actions import undo_entry
from shopapp.lumber.stock.buying import book_delivery, reckon_delivery
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import BuyForm, SupplierForm
from .tables import out
from .tickets.forms import TicketForm
from .tickets.readers import tickets_of

A_PAGE = 50
LINES_A_PAGE = 100


@require_GET
@owner_required
def suppliers(request: HttpRequest) -> HttpResponse:
    return render(request, "lumber/buying/suppliers.html", {"rows": readers.suppliers()})


@require_http_methods(["GET", "POST"])
@owner_required
def add_supplier(request: HttpRequest) -> HttpResponse:
    initial = {"tax": workshop_of(request).tax, "tax_included": True}
    form = SupplierForm(request.POST if request.method == "POST" else None, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_supplier(who=request.user, values=form.values(), spend=form.spend)
        except AlreadySent:
            return redirect("lumber:suppliers")
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{row.name} is among those you buy from.")
            return redirect("lumber:suppliers")
    return render(request, "lumber/buying/supplier.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def supplier(request: HttpRequest, supplier_pk: int) -> HttpResponse:
    row = get_object_or_404(Supplier, pk=supplier_pk)
    form = _supplier_form(row, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_supplier(
                who=request.user, supplier=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect("lumber:suppliers")
        except EditConflict as clash:
            conflict_rows = form.against(_supplier_form(clash.current, None))
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept.")
            return redirect("lumber:suppliers")
    conflict = conflict_rows is not None
    context = {"form": form, "row": row, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "lumber/buying/supplier.html", context, status=status)


def _supplier_form(row: Supplier, data) -> SupplierForm:
    initial = {name: getattr(row, name) for name in SupplierForm.base_fields if hasattr(row, name)}
    return SupplierForm(data, edit_version=row.edit_version, initial=initial)


@require_http_methods(["GET", "POST"])
@owner_required
def buy(request: HttpRequest) -> HttpResponse:
    """A delivery, a board at a time. Until it is booked all that was typed travels in the form, and nothing is
    written; a page loaded again or a press that came twice does not add a board twice."""
    seen, sellers = woods_seen(), list(Supplier.objects.all())
    doing, _, which = request.POST.get("do", "add").partition(":")

    def form_of(data, **kwargs) -> BuyForm:
        choices = wood_choices(seen)
        return BuyForm(data, shop=workshop_of(request), woods=choices, suppliers=sellers, doing=doing, **kwargs)

    if request.method == "GET":
        # Whoever was bought from last is likeliest to be bought from now.
        newest = Delivery.objects.order_by("-pk").first()
        initial = {"supplier": newest.supplier_id if newest else "", "on": timezone.localdate()}
        return _buy_page(request, form_of(None, initial={**initial, "lines": "[]"}), seen)
    form = form_of(request.POST)
    if form.is_valid():
        if doing == "book":
            booked = _book(request, form)
            if booked is not None:
                return booked
        else:
            added = _changed(form, doing, which)
            if not form.errors:
                typed = {**form.typed_facts(), **form.as_typed(), "lines": json.dumps(added)}
                fresh = form_of(None, initial=typed, unit_shown=form.unit_shown)
                fresh.fields["form_key"].initial = form.fresh_key()
                fresh.kept, fresh.bought, fresh.cleaned_data = form.kept, form.bought, form.cleaned_data
                return _buy_page(request, fresh, seen)
    return _buy_page(request, form, seen, status=422)


def _changed(form: BuyForm, doing: str, which: str) -> list[dict[str, str]]:
    """The form's lines with the typed one added or one taken away; what cannot be is said in the form."""
    if doing == "remove":
        if which.isascii() and which.isdigit() and 0 < int(which[:4]) <= len(form.kept):
            del form.kept[int(which[:4]) - 1], form.bought[int(which[:4]) - 1]
        return form.kept
    line = form.line()
    try:
        reckon_delivery(form.facts(), [*form.bought, line])
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
    else:
        form.kept.append(form.as_typed())
        form.bought.append(line)
    return form.kept


def _book(request: HttpRequest, form: BuyForm) -> HttpResponse | None:
    """The answer to a booked delivery; None when it was not booked, and the form says why."""
    if form.is_another_board():
        form.add_error(None, "The board written below is not added yet. Add it, or write it as the last one was.")
        return None
    try:
        cost = sum(line.cost.cost for line in reckon_delivery(form.facts(), form.bought))
        if str(cost) != form.cleaned_data["seen"]:
            form.add_error(None, "What it costs was reckoned anew. Look at the sum below, then book it once more.")
            return None
        booked = book_delivery(who=request.user, facts=form.facts(), lines=form.bought, spend=form.spend)
    except AlreadySent:
        messages.info(request, "This delivery was booked already.")
        return redirect("lumber:deliveries")
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return None
    messages.success(request, "It is in the book. Chalk each board’s mark on it.")
    return redirect(booked)


def _buy_page(request: HttpRequest, form: BuyForm, seen, status: int = 200) -> HttpResponse:
    reckoned, facts = None, form.facts() if form.bought else None
    if facts:
        try:
            reckoned = reckon_delivery(facts, form.bought)
        except PlannerError as error:
            # Only a bound form has a place for it; adding and taking away were reckoned before.
            if form.is_bound and not form.errors:
                form.add_error(None, str(error))
    lines = readers.lines_so_far(form.bought, reckoned, seen)
    context = {
        "form": form,
        "facts": facts,
        "lines": lines,
        "kept": json.dumps(form.kept),
        "totals": readers.totals(lines) if reckoned else None,
        "wood": seen.get(str(form["wood"].value())),
        "has_suppliers": bool(form.suppliers),
    }
    return render(request, "lumber/buying/buy.html", context, status=status)


@require_GET
@owner_required
def deliveries(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.deliveries(), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "lumber/buying/deliveries.html", {"page": page})


@require_GET
@owner_required
def delivery(request: HttpRequest, delivery_pk: int) -> HttpResponse:
    return delivery_page(request, delivery_pk, TicketForm())


def delivery_page(request: HttpRequest, delivery_pk: int, form: TicketForm, status: int = 200) -> HttpResponse:
    row = get_object_or_404(Delivery.objects.select_related("supplier", "booked_by"), pk=delivery_pk)
    view = readers.delivery_page(row)
    page = Paginator(view.lines, LINES_A_PAGE).get_page(request.GET.get("page"))
    context = {"view": view, "page": page, "delivery": row, "tickets": tickets_of(row), "form": form}
    return render(request, "lumber/buying/delivery.html", context, status=status)


@require_GET
@owner_required
def delivery_csv(request: HttpRequest, delivery_pk: int) -> HttpResponse:
    row = get_object_or_404(Delivery.objects.select_related("supplier"), pk=delivery_pk)
    data = out.as_csv(row, woods_seen(), currency=workshop_of(request).currency_code)
    return tables.answer(f"delivery-{row.on.isoformat()}-{row.pk}.csv", data)


@require_POST
@owner_required
def undo_delivery(request: HttpRequest, delivery_pk: int) -> HttpResponse:
    row = get_object_or_404(Delivery, pk=delivery_pk)
    try:
        undo_entry(
            who=request.user,
            entry=readers.entry_of(row),
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "The whole delivery is undone; none of its boards is on the rack.")
    return redirect(row)
