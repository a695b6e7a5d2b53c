"""A payment written down, money given back, an entry taken back."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.templatetags.shop import money
from shopapp.payments.balances import balances_of
from shopapp.payments.models import Invoice, Payment
from shopapp.people.permissions import owner_required

from . import actions
from .forms import PaidForm


@require_http_methods(["GET", "POST"])
@owner_required
def pay(request: HttpRequest, pk: int) -> HttpResponse:
    return _entry(request, pk, back=False)


@require_http_methods(["GET", "POST"])
@owner_required
def give_back(request: HttpRequest, pk: int) -> HttpResponse:
    return _entry(request, pk, back=True)


def _entry(request: HttpRequest, pk: int, *, back: bool) -> HttpResponse:
    invoice = get_object_or_404(Invoice.objects.select_related("account"), pk=pk)
    balance = balances_of([invoice])[0]
    likely = balance.to_give_back if back else balance.open
    posted = request.method == "POST"
    form = PaidForm(request.POST if posted else None, invoice=invoice, initial={"amount": likely or None})
    asks_more = False
    if posted and form.is_valid():
        do = actions.give_back if back else actions.pay
        try:
            payment = do(who=request.user, invoice=invoice, paid=form.paid(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That was already written down.")
            return redirect(invoice)
        except PlannerError as error:
            asks_more = isinstance(error, actions.MoreThanOwed)
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            what = "given back" if back else "paid"
            messages.success(request, f"{money(abs(payment.amount), invoice)} was {what}, and is in the book.")
            return redirect(invoice)
    if not asks_more and not request.POST.get("more_is_meant"):
        del form.fields["more_is_meant"]
    context = {"invoice": invoice, "balance": balance, "form": form, "back": back}
    return render(request, "payments/pay.html", context, status=422 if form.errors else 200)


@require_POST
@owner_required
def take_back(request: HttpRequest, payment_pk: int) -> HttpResponse:
    payment = get_object_or_404(Payment.objects.select_related("invoice"), pk=payment_pk)
    try:
        actions.take_back(who=request.user, payment=payment, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "That was already taken back.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "It is taken back: both entries stay in the book.")
    return redirect(payment.invoice)
