"""Quotes as a list, and one on its page."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.documents import pdf_answer
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .answering.views import panel_of
from .drafts.readers import drafts_aside, open_drafts
from .models import Quote, QuoteEvent


@require_GET
@owner_required
def quotes(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.quotes_told(), readers.A_PAGE).get_page(request.GET.get("page"))
    today = timezone.localdate()
    context = {
        "page": page,
        "lines": readers.lines_of(list(page.object_list), today),
        "query": "",
        "drafts": open_drafts(today),
        "aside": drafts_aside(today),
    }
    return render(request, "quotes/quotes.html", context)


def _quote(pk: int) -> Quote:
    related = ("made_by", "replaces", "replaced_by", "job")
    return get_object_or_404(Quote.objects.select_related(*related), pk=pk)


@require_GET
@owner_required
def quote(request: HttpRequest, pk: int) -> HttpResponse:
    found = _quote(pk)
    events = list(found.events.select_related("who"))
    state = events[0].kind if events else QuoteEvent.Kind.MADE
    open_still = state in actions.OPEN
    context = {
        "quote": found,
        "view": readers.QuoteView(found, workshop_of(request)),
        "events": events,
        "state": QuoteEvent.Kind(state).label,
        "open": open_still,
        "unsent": state == QuoteEvent.Kind.MADE,
        "past": open_still and found.is_past(timezone.localdate()),
        "written_anew": found.drafts.filter(made=None, put_aside=False).first(),
        "replaceable": state != QuoteEvent.Kind.ACCEPTED and not hasattr(found, "replaced_by"),
        "paper": readers.paper_of(found),
        "way": panel_of(request, found, state),
    }
    return render(request, "quotes/quote.html", context)


@require_POST
@owner_required
def tell(request: HttpRequest, pk: int) -> HttpResponse:
    """Sent, declined, lapsed: one button each."""
    found = get_object_or_404(Quote, pk=pk)
    kind = request.POST.get("kind", "")
    try:
        event = actions.tell_quote(
            who=request.user, quote=found, kind=kind, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, event.words)
    return redirect(found)


@require_POST
@owner_required
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Quote, pk=pk)
    try:
        actions.ask_for_paper(who=request.user, quote=found, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "The paper was already asked for.")
    return redirect(found)


@require_GET
@owner_required
def paper_state(request: HttpRequest, pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    found = get_object_or_404(Quote, pk=pk)
    return render(request, "quotes/_paper.html", {"quote": found, "paper": readers.paper_of(found)})


@require_GET
@owner_required
def pdf(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Quote.objects.select_related("paper__document"), pk=pk)
    stored = getattr(found, "paper", None)
    return pdf_answer(stored and stored.document, f"quote-{found.reference}.pdf", "This quote has no paper yet.")
