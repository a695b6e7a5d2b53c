"""A photo of a ticket comes in on its delivery's page, which asks until the copy is there."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.lumber.buying.views import delivery_page
from shopapp.lumber.models import Delivery
from shopapp.people.permissions import owner_required

from . import actions, readers
from .forms import TicketForm


@require_POST
@owner_required
def tickets(request: HttpRequest, delivery_pk: int) -> HttpResponse:
    row = get_object_or_404(Delivery, pk=delivery_pk)
    form = TicketForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            actions.bring_ticket(who=request.user, delivery=row, upload=form.cleaned_data["photo"], spend=form.spend)
        except AlreadySent:
            messages.info(request, "That photo was brought already; it stands below once.")
        except PlannerError as error:
            form.add_error("photo", str(error))
    if form.errors:
        return delivery_page(request, delivery_pk, form, status=422)
    return redirect(f"{row.get_absolute_url()}#ticket")


@require_GET
@owner_required
def tickets_state(request: HttpRequest, delivery_pk: int) -> HttpResponse:
    """What the delivery's page asks every second while a photo waits."""
    row = get_object_or_404(Delivery, pk=delivery_pk)
    return render(request, "lumber/buying/_tickets.html", {"delivery": row, "tickets": readers.tickets_of(row)})
