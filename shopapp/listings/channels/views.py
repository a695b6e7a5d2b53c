"""Channels on one page and each on its own; a listing offered through one, and taken off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.listings.models import Channel, Offering
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import ChannelForm, initial_of


@require_GET
@owner_required
def channels(request: HttpRequest) -> HttpResponse:
    return render(request, "listings/channels/channels.html", {"channels": list(readers.channels())})


@require_GET
@owner_required
def channel(request: HttpRequest, channel_pk: int) -> HttpResponse:
    found = get_object_or_404(Channel.objects.select_related("person"), pk=channel_pk)
    return render(request, "listings/channels/channel.html", {"page": readers.channel_page(found), "channel": found})


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    shop = workshop_of(request)
    form = ChannelForm(
        request.POST if request.method == "POST" else None, shop=shop, initial={"own_fees": True, "on_carriage": True}
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.write_channel(who=request.user, facts=form.facts(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That channel was already written down.")
            return redirect("listings:channels")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{made.name} is written down.")
            return redirect(made)
    return render(request, "listings/channels/new.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, channel_pk: int) -> HttpResponse:
    found = get_object_or_404(Channel.objects.select_related("person"), pk=channel_pk)
    form = _change_form(request, found, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.write_channel(
                who=request.user, facts=form.facts(), channel=found, seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            conflict_rows = form.against(_change_form(request, conflict.current, None))
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept as it is now.")
            return redirect(found)
    conflict = conflict_rows is not None
    context = {"channel": found, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "listings/channels/change.html", context, status=status)


def _change_form(request: HttpRequest, found: Channel, data) -> ChannelForm:
    shop = workshop_of(request)
    return ChannelForm(data, shop=shop, initial=initial_of(found), edit_version=found.edit_version)


@require_POST
@owner_required
def aside(request: HttpRequest, channel_pk: int) -> HttpResponse:
    found = get_object_or_404(Channel, pk=channel_pk)
    kept = request.POST.get("kept") == "yes"
    try:
        actions.set_aside(
            who=request.user, channel=found, kept=kept, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{found.name} is {'used again' if kept else 'not used any more'}.")
    return redirect(found)


@require_POST
@owner_required
def take_off(request: HttpRequest, offering_pk: int) -> HttpResponse:
    found = get_object_or_404(Offering.objects.select_related("listing", "channel"), pk=offering_pk)
    try:
        actions.take_off(who=request.user, offering=found, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{found.listing.title} is not offered through {found.channel} any more.")
    return redirect(found.listing)
