"""Listed pieces on one page, each on its own, and a finished piece being listed."""

from __future__ import annotations

from decimal import Decimal

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.designs.pictures.asking import ask_first
from shopapp.jobs.models import Job
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .channels.actions import offer
from .channels.forms import OfferedForm
from .forms import ListingForm
from .models import Listing, Piece
from .pieces.readers import shop_of_job
from .selling import actions as selling
from .selling.ending import offer_again
from .selling.forms import ActForm, GivenForm, HeldForm, SoldForm, WithdrawnForm
from .telling import ListingMoved
from .wording import draft_title, draft_words


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
    piece = _meant(request, job)
    title = draft_title(piece) if piece else job.label
    words = draft_words(piece, workshop_of(request).unit) if piece else ""
    initial = {"title": title, "words": words, "price": job.plan.price if job.plan else None}
    form = ListingForm(request.POST if request.method == "POST" else None, shop=shop_of_job(job), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            listing = actions.list_piece(who=request.user, job=job, facts=form.facts(), piece=piece, spend=form.spend)
        except AlreadySent:
            messages.info(request, "That piece was already listed; it is in the list once.")
            return redirect("listings:listings")
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{listing.title} is listed.")
            return redirect(listing)
    context = {"job": job, "form": form, "piece": piece, "has": list(job.pieces.all())}
    return render(request, "listings/new.html", context, status=422 if form.errors else 200)


def _meant(request: HttpRequest, job: Job) -> Piece | None:
    """The piece the address names, else the first that can be listed; none while the job's boards have no numbers."""
    number = whole_number(request.GET.get("piece", ""))
    named = job.pieces.filter(pk=number).first() if number is not None else None
    return named or actions.unlisted(job)


def _listing(pk: int) -> Listing:
    return get_object_or_404(Listing.objects.select_related("job__plan", "piece"), pk=pk)


@require_GET
def listing(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _listing(pk))


LISTING_ACTS = {form.act: form for form in (SoldForm, OfferedForm, HeldForm, GivenForm, WithdrawnForm)}


def _form(found: Listing, act: str, data=None) -> ActForm:
    if act == OfferedForm.act:
        return OfferedForm(data, record=found, shop=found)
    if act == SoldForm.act:
        return SoldForm(data, record=found, shop=found, listing=found)
    return LISTING_ACTS[act](data, record=found)


def _page(request: HttpRequest, found: Listing, sent: ActForm | None = None, status: int = 200) -> HttpResponse:
    acts = list(LISTING_ACTS) if request.user.is_owner and found.state in actions.OFFERED else []
    if sent is not None and sent.act not in acts:
        acts = [sent.act, *acts]
    context = {
        **readers.listing_page(found, workshop_of(request), money_shown=request.user.is_owner),
        "for_sale": found.state in actions.OFFERED,
        "forms": [sent if sent is not None and sent.act == act else _form(found, act) for act in acts],
        "sent": sent,
        "today": timezone.localdate(),
    }
    return render(request, "listings/listing.html", context, status=status)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, pk: int) -> HttpResponse:
    found = _listing(pk)
    drafted = workshop_of(request).unit if request.method == "GET" and request.GET.get("draft") == "anew" else ""
    form = _change_form(found, request.POST if request.method == "POST" else None, drafted)
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
    context = {"listing": found, "form": form, "conflict": conflict, "conflict_rows": conflict_rows, "drafted": drafted}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "listings/change.html", context, status=status)


def _change_form(found: Listing, data, drafted: str = "") -> ListingForm:
    """``drafted`` is the unit lengths are told in where title and text are drafted anew; nothing is kept by that."""
    initial = {name: getattr(found, name) for name in ("title", "words", "price")}
    if drafted:
        initial |= {"title": draft_title(found.piece), "words": draft_words(found.piece, drafted)}
    return ListingForm(data, shop=found, initial=initial, edit_version=found.edit_version)


@require_POST
@owner_required
def gone(request: HttpRequest, pk: int, act: str) -> HttpResponse:
    """Sold, given, held or withdrawn; where it cannot be, the page comes back with what was typed."""
    found = _listing(pk)
    if act not in LISTING_ACTS:
        raise Http404("A piece does not go that way.")
    form = _form(found, act, request.POST)
    if not form.is_valid():
        return _page(request, found, form, status=422)
    try:
        _do(request, act, found, form)
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except (ListingMoved, selling.AlreadySold) as error:
        found.refresh_from_db()
        form.data = {**form.data.dict(), "edit_version": str(found.edit_version)}
        form.add_error(None, str(error))
        return _page(request, found, form, status=409)
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
        return _page(request, found, form, status=422)
    else:
        messages.success(request, found.events.first().words)
    return redirect(found)


def _do(request: HttpRequest, act: str, found: Listing, form: ActForm) -> None:
    typed = form.cleaned_data
    done = {"who": request.user, "seen_version": form.seen_version, "spend": form.spend, "listing": found}
    if act == OfferedForm.act:
        done.pop("seen_version")
        offer(**done, **{name: typed[name] for name in ("channel", "price", "since", "reference")})
    elif act == "held":
        selling.hold(**done, until=typed["until"], to_whom=typed["to_whom"])
    elif act == "withdrawn":
        selling.withdraw(**done, words=typed["words"])
    elif act == "given":
        selling.give(**done, piece=found.piece, on=typed["on"], to_whom=typed["to_whom"])
    else:
        selling.sell(
            **done, piece=found.piece, on=typed["on"], to_whom=typed["to_whom"], price=typed["got"], how=typed["how"],
            channel=typed["channel"], carriage=typed["carriage"] or Decimal(0),
        )  # fmt: skip


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
