"""The owner's pages of what visitors asked."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.mail import post
from shopapp.common.numbers import whole_number
from shopapp.common.tasks import task_state
from shopapp.listings.models import Enquiry
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import TakeForm

_CHANGED = "It was changed meanwhile. Here it is as it is now; nothing was changed by you."
_STATES = {"answered": Enquiry.State.ANSWERED, "aside": Enquiry.State.ASIDE, "new": Enquiry.State.NEW}


@require_GET
@owner_required
def enquiries(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.enquiries(), readers.A_PAGE).get_page(request.GET.get("page"))
    return render(request, "listings/enquiries/enquiries.html", {"page": page, "query": ""})


def _enquiry(pk: int) -> Enquiry:
    return get_object_or_404(Enquiry.objects.select_related("listing__piece", "listing__job__plan", "person"), pk=pk)


@require_GET
@owner_required
def enquiry(request: HttpRequest, enquiry_pk: int) -> HttpResponse:
    return _page(request, _enquiry(enquiry_pk))


def _page(request: HttpRequest, found: Enquiry, form: TakeForm | None = None) -> HttpResponse:
    context = {
        "enquiry": found,
        "form": form or TakeForm(initial={"person": found.name}),
        "answer_link": readers.answer_link(found),
        "told": task_state(found.task) if found.task else None,
        "mail_ready": post().ready and bool(workshop_of(request).mail),
    }
    status = 422 if form is not None and form.errors else 200
    return render(request, "listings/enquiries/enquiry.html", context, status=status)


@require_POST
@owner_required
def take(request: HttpRequest, enquiry_pk: int) -> HttpResponse:
    found = _enquiry(enquiry_pk)
    form = TakeForm(request.POST)
    if not form.is_valid():
        return _page(request, found, form)
    try:
        person = actions.take_into_book(
            who=request.user, enquiry=found, person=form.cleaned_data["person"], spend=form.spend
        )
    except AlreadySent:
        return redirect("listings:enquiry", found.pk)
    except PlannerError as error:
        form.add_error(None, str(error))
        return _page(request, _enquiry(enquiry_pk), form)
    messages.success(request, f"It is {person.name} of the book who asked.")
    return redirect("listings:enquiry", found.pk)


@require_POST
@owner_required
def act(request: HttpRequest, enquiry_pk: int, act: str) -> HttpResponse:
    """A button: answered, set aside, new again, a quote begun, its words destroyed."""
    found = _enquiry(enquiry_pk)
    do = {"quote": _quote, "forget": _forget, **dict.fromkeys(_STATES, _state)}.get(act)
    if do is None:
        raise Http404("There is nothing at this address.")
    try:
        return do(request, found, act)
    except AlreadySent:
        messages.info(request, "That was done already.")
    except EditConflict:
        messages.error(request, _CHANGED)
    except PlannerError as error:
        messages.error(request, str(error))
    return redirect("listings:enquiry", found.pk)


def _key(request: HttpRequest) -> dict[str, object]:
    return {"who": request.user, "spend": lambda: spend_key(request.POST.get("form_key", ""))}


def _seen(request: HttpRequest) -> int:
    return whole_number(request.POST.get("edit_version", ""), 9) or 0


def _state(request: HttpRequest, found: Enquiry, act: str) -> HttpResponse:
    done = actions.tell_how_it_stands(enquiry=found, state=_STATES[act], seen_version=_seen(request), **_key(request))
    messages.success(request, f"It is {done.get_state_display()}.")
    return redirect("listings:enquiry" if act == "new" else "listings:enquiries", *([found.pk] if act == "new" else []))


def _quote(request: HttpRequest, found: Enquiry, act: str) -> HttpResponse:
    return redirect(actions.begin_quote(enquiry=found, **_key(request)))


def _forget(request: HttpRequest, found: Enquiry, act: str) -> HttpResponse:
    actions.forget_words(enquiry=found, seen_version=_seen(request), **_key(request))
    messages.success(request, "What it said is destroyed.")
    return redirect("listings:enquiries")
