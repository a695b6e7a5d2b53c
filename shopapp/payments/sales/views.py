"""A sale written by hand, and the page of whatever money is owed for."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.payments.invoices.drafts import NotNow, kinds_open
from shopapp.payments.models import Account
from shopapp.payments.readers import standing
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions
from .forms import SaleForm


@require_http_methods(["GET", "POST"])
@owner_required
def sale(request: HttpRequest) -> HttpResponse:
    shop = workshop_of(request)
    if request.method == "POST":
        form = SaleForm(request.POST, shop=shop)
        if request.POST.get("do") == "line":
            form = SaleForm(None, shop=shop, **form.grown())
        elif form.is_valid():
            try:
                account = actions.write_sale(who=request.user, sale=form.sale(), spend=form.spend)
            except AlreadySent:
                messages.info(request, "That sale was already written down.")
                return redirect("payments:owed")
            except PlannerError as error:
                form.add_error(None, str(error))
            else:
                messages.success(request, f"{account.label} is in the book. Here is its invoice to write.")
                return redirect(f"{reverse('payments:new')}?for={account.asks_for}")
    else:
        form = SaleForm(None, shop=shop, count=3, initial={"deposit": 0})
    return render(request, "payments/sale.html", {"form": form}, status=422 if form.errors else 200)


@require_GET
@owner_required
def account(request: HttpRequest, account_pk: int) -> HttpResponse:
    found = get_object_or_404(Account.objects.select_related("person"), pk=account_pk)
    how = standing(found.key)
    try:
        open_kinds, why_not = kinds_open(found, how.invoices, stopped=how.stopped), ""
    except NotNow as error:
        open_kinds, why_not = [], str(error)
    context = {
        "account": found,
        "standing": how,
        "can_invoice": bool(open_kinds),
        "why_not": why_not,
        "by_hand": found.key.startswith(actions.BY_HAND),
        "events": found.events.select_related("who"),
    }
    return render(request, "payments/account.html", context)


@require_POST
@owner_required
def call_off(request: HttpRequest, account_pk: int) -> HttpResponse:
    found = get_object_or_404(Account, pk=account_pk)
    spend = lambda: spend_key(request.POST.get("form_key", ""))  # noqa: E731
    try:
        actions.call_off(who=request.user, account=found, on=request.POST.get("on") == "1", spend=spend)
    except AlreadySent:
        messages.info(request, "That was already done.")
    except PlannerError as error:
        messages.error(request, str(error))
    return redirect(found)
