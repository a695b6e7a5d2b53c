"""Quotes as a list, one on its page, and one being written from a kept plan."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.documents import pdf_answer
from shopapp.designs.pictures.asking import ask_first
from shopapp.people.permissions import owner_required
from shopapp.plans.models import Plan
from shopapp.plans.preview.readers import in_grain
from shopapp.plans.readers import RecordView, shop_as_kept
from shopapp.workshop.readers import workshop_of

from . import actions, readers, wording
from .answering.views import panel_of
from .forms import QuoteForm
from .models import Quote, QuoteEvent


@require_GET
@owner_required
def quotes(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.quotes_told(), readers.A_PAGE).get_page(request.GET.get("page"))
    lines = readers.lines_of(list(page.object_list), timezone.localdate())
    return render(request, "quotes/quotes.html", {"page": page, "lines": lines, "query": ""})


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest, plan_pk: int) -> HttpResponse:
    """A quote written from a kept plan; whose the picture is is asked before."""
    plan = get_object_or_404(Plan.objects.select_related("design"), pk=plan_pk)
    replaces = _replaced(request, plan)
    if (asked := ask_first(request, plan.design, "quote", onward="Go on to the quote")) is not None:
        return asked
    record = plan.record
    shop = shop_as_kept(workshop_of(request), record)
    form = QuoteForm(
        request.POST if request.method == "POST" else None,
        shop=shop,
        boards=record["spec"]["quantity"],
        initial=_first_words(plan, record, shop, replaces),
    )
    if request.method == "POST" and form.is_valid():
        try:
            offered = actions.Offered(plan, form.cleaned_data["price"], form.cleaned_data["title"])
            quote = actions.make_quote(
                who=request.user, offer=form.offer(), options=[offered], replaces=replaces, spend=form.spend
            )
        except AlreadySent:
            messages.info(request, "That quote was already made; it is in the list once.")
            return redirect("quotes:quotes")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{quote} is made, and its paper follows. Nothing in it will change.")
            return redirect(quote)
    context = {
        "plan": plan,
        "form": form,
        "shop": shop,
        "replaces": replaces,
        "view": RecordView(record, plan.title, shop.unit),
        **in_grain(lambda name: reverse(f"plans:{name}", args=[plan.pk])),
    }
    return render(request, "quotes/new.html", context, status=422 if form.errors else 200)


def _replaced(request: HttpRequest, plan: Plan) -> Quote | None:
    """The quote of the same plan that the new one is to replace, if the address names one."""
    number = request.GET.get("replaces", "")
    if not number:
        return None
    if not (number.isascii() and number.isdigit() and len(number) < 18):
        raise Http404("There is no quote of that number.")
    return get_object_or_404(Quote, pk=number, options__plan=plan)


def _first_words(plan: Plan, record: dict, shop, replaces: Quote | None) -> dict[str, object]:
    """What a quote begins with: what the replaced one said, else the plan's price and the last quote's terms."""
    today = timezone.localdate()
    days = {"dated": today, "valid_until": today + timedelta(days=shop.quote_days)}
    if replaces is not None:
        names = ("for_whom", "title", "carriage", "words", "care", "left_out", "terms")
        price = replaces.options.get(plan=plan).price
        return {**days, **{name: getattr(replaces, name) for name in names}, "price": price}
    use = record["spec"]["use"]
    last = Quote.objects.order_by("-pk").first()
    return {
        **days,
        "title": plan.design.name,
        "price": plan.price,
        "carriage": shop.carriage_charged,
        "care": wording.CARE.get(use, ""),
        "left_out": wording.LEFT_OUT.get(use, ""),
        "terms": last.terms if last else wording.TERMS,
    }


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
