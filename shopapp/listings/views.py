"""Listed pieces on one page, each on its own, and a finished piece being listed."""

from __future__ import annotations

from decimal import Decimal

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.designs.pictures.asking import ask_first
from shopapp.jobs.models import Job
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import ListingForm
from .models import Listing
from .pieces.readers import shop_of_job
from .selling import actions as selling
from .selling.ending import offer_again
from .selling.forms import GONE, GoneForm
from .telling import ListingMoved


@require_GET
def listings(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.listings(), readers.A_PAGE).get_page(request.GET.get("page"))
    return render(request, "listings/listings.html", {"page": page, "query": ""})


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest, job_pk: int) -> HttpResponse:
    """A finished piece of a job is listed; whose its picture is is asked before."""
    job = get_object_or_404(Job.objects.select_related("plan__design"), pk=job_pk)
    if job.state not in actions.FINISHED:
        messages.error(request, f"{job.label} is {job.get_state_display()}. Say that it is finished first.")
        return redirect(job)
    if job.plan and (asked := ask_first(request, job.plan.design, "list", onward="Go on to the listing")) is not None:
        return asked
    initial = {"title": job.label, "price": job.plan.price if job.plan else None}
    form = ListingForm(request.POST if request.method == "POST" else None, shop=shop_of_job(job), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            listing = actions.list_piece(who=request.user, job=job, facts=form.facts(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That piece was already listed; it is in the list once.")
            return redirect("listings:listings")
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{listing.title} is listed.")
            return redirect(listing)
    return render(request, "listings/new.html", {"job": job, "form": form}, status=422 if form.errors else 200)


def _listing(pk: int) -> Listing:
    return get_object_or_404(Listing.objects.select_related("job__plan"), pk=pk)


@require_GET
def listing(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _listing(pk))


def _page(request: HttpRequest, found: Listing, sent: GoneForm | None = None, status: int = 200) -> HttpResponse:
    for_sale = found.state == Listing.State.FOR_SALE
    offered = [
        sent if sent and sent.act == act else form(listing=found)
        for act, form in GONE.items()
        if request.user.is_owner and (for_sale or (sent and sent.act == act))
    ]
    context = {
        **readers.listing_page(found, workshop_of(request).unit),
        "for_sale": for_sale,
        "forms": offered,
        "sent": sent,
    }
    return render(request, "listings/listing.html", context, status=status)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, pk: int) -> HttpResponse:
    found = _listing(pk)
    form = _change_form(found, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_listing(
                who=request.user, listing=found, facts=form.facts(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            conflict_rows = form.against(_change_form(conflict.current, None))
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['title']} is kept as it is now.")
            return redirect(found)
    conflict = conflict_rows is not None
    context = {"listing": found, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "listings/change.html", context, status=status)


def _change_form(found: Listing, data) -> ListingForm:
    initial = {name: getattr(found, name) for name in ("title", "words", "price")}
    return ListingForm(data, shop=found, initial=initial, edit_version=found.edit_version)


@require_POST
@owner_required
def gone(request: HttpRequest, pk: int, act: str) -> HttpResponse:
    """Sold or given; where it cannot be, the page comes back with what was typed."""
    found = _listing(pk)
    if act not in GONE:
        raise Http404("A piece does not go that way.")
    form = GONE[act](request.POST, listing=found)
    if not form.is_valid():
        return _page(request, found, form, status=422)
    typed = form.cleaned_data
    given = {
        "who": request.user,
        "piece": found.piece,
        "listing": found,
        "on": typed["on"],
        "to_whom": typed["to_whom"],
    }
    given |= {"seen_version": form.seen_version, "spend": form.spend}
    try:
        if act == "sold":
            selling.sell(
                **given,
                price=typed["got"],
                how=typed["how"],
                channel=typed["channel"],
                carriage=typed["carriage"] or Decimal(0),
            )
        else:
            selling.give(**given)
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except (ListingMoved, selling.AlreadySold) as error:
        found.refresh_from_db()
        form.data = {**form.data.dict(), "edit_version": str(found.edit_version)}
        form.add_error(None, str(error))
        return _page(request, found, form, status=409)
    except PlannerError as error:
        form.add_error(None, str(error))
        return _page(request, found, form, status=422)
    else:
        messages.success(request, found.events.first().words)
    return redirect(found)


@require_POST
@owner_required
def again(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Listing, pk=pk)
    seen = request.POST.get("edit_version", "")
    try:
        event = offer_again(
            who=request.user,
            listing=found,
            seen_version=whole_number(seen, 9) or 0,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, event.words)
    return redirect(found)
