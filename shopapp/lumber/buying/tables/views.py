"""The page where a table is brought, looked at, and booked."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import Delivery, Supplier
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import TableForm

# Beyond so many lines their planks are left out; a page of two thousand drawings opens on no phone.
MOST_PLANKS = 100


@require_http_methods(["GET", "POST"])
@owner_required
def table(request: HttpRequest) -> HttpResponse:
    """A table, first looked at and then booked. Until it is booked nothing is written, and each time it is read anew
    from what was brought."""
    shop, sellers = workshop_of(request), list(Supplier.objects.all())
    if request.method == "GET":
        newest = Delivery.objects.order_by("-pk").first()
        initial = {
            "unit": shop.unit,
            "supplier": newest.supplier_id if newest else "",
            "on": timezone.localdate(),
        }
        form = TableForm(shop=shop, suppliers=sellers, initial=initial)
        return render(request, "lumber/buying/table.html", {"form": form})
    form = TableForm(request.POST, request.FILES, shop=shop, suppliers=sellers)
    seen = woods_seen()
    brought = _read(form, shop, seen) if form.is_valid() else None
    if brought and request.POST.get("do") == "book":
        booked = _book(request, form, brought)
        if booked is not None:
            return booked
    bundles = readers.bundles_seen(brought.bundles, seen) if brought else []
    lines = [line for bundle in bundles for line in bundle.lines]
    context = {
        "form": form,
        "brought": brought,
        "bundles": bundles,
        "totals": readers.totals(lines) if lines else None,
        "planks": len(lines) <= MOST_PLANKS,
        "questions": [(words, form[name]) for name, words in brought.questions().items()] if brought else [],
    }
    return render(request, "lumber/buying/table.html", context, status=422 if form.errors else 200)


def _read(form: TableForm, shop, seen) -> readers.Brought | None:
    """The table read against the book; None when it cannot be, and the form says why."""
    typed = form.cleaned_data
    try:
        brought = readers.brought(
            typed["table"], given=form.given(), shop=shop, seen=seen, unit=typed["unit"], per=typed["per"]
        )
    except PlannerError as error:
        form.add_error("table", str(error))
        return None
    if brought.read.faults:
        form.tell(brought.read.faults)
        return None
    return brought


def _book(request: HttpRequest, form: TableForm, brought: readers.Brought) -> HttpResponse | None:
    """The answer to a booked table; None when it was not booked, and the form says why."""
    for name, words in brought.questions().items():
        if not form.cleaned_data[name]:
            form.add_error(name, f"{words} Tick it if that is so, or mend the table.")
    if form.errors:
        return None
    cost = sum(line.cost.cost for bundle in brought.bundles for line in bundle.reckoned)
    if str(cost) != form.cleaned_data["seen"]:
        form.add_error(None, "What it costs was reckoned anew. Look at the sum below, then book it once more.")
        return None
    try:
        booked = actions.bring_in(who=request.user, bundles=brought.bundles, spend=form.spend)
    except AlreadySent:
        messages.info(request, "This table was booked already.")
        return redirect("lumber:deliveries")
    except PlannerError as error:
        form.add_error(None, str(error))
        return None
    if len(booked) == 1:
        messages.success(request, "It is in the book. Chalk each board’s mark on it.")
        return redirect(booked[0])
    messages.success(request, f"{len(booked)} deliveries are in the book. Chalk each board’s mark on it.")
    return redirect("lumber:deliveries")
