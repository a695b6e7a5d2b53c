"""Cards, labels and tags: pieces ticked, a paper chosen, the PDF waited for and opened; the words on all of them."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.common.documents import pdf_answer
from shopapp.common.numbers import whole_number
from shopapp.listings.models import PiecePaper
from shopapp.lumber.labels.views import LOCAL
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import the_workshop, workshop_of

from . import actions, readers
from .forms import PaperForm, WordsForm

# How each kind is called on its page and on its button.
KINDS = {
    "care": ("Care cards", "Make the care cards"),
    "label": ("Labels", "Make the labels"),
    "tags": ("Price tags", "Make the price tags"),
}


@require_http_methods(["GET", "POST"])
@owner_required
def ask(request: HttpRequest, paper_kind: str) -> HttpResponse:
    """Papers of one kind: of the pieces the address names (`piece`, or those packed for a `fair`), else of all."""
    kind = paper_kind
    if kind not in KINDS:
        raise Http404("There is no paper of that kind.")
    fair = whole_number(request.GET.get("fair", ""), 15)
    pieces = list(readers.printable(fair)[: readers.MOST_SHOWN])
    asked = request.GET.getlist("piece")
    is_sent = request.method == "POST"
    form = PaperForm(
        request.POST if is_sent else None,
        kind=kind,
        shop=workshop_of(request),
        address=request.build_absolute_uri("/").rstrip("/"),
    )
    ticked = set(request.POST.getlist("tick") if is_sent else asked or [str(p.pk) for p in pieces if fair])
    if is_sent and form.is_valid():
        chosen = [piece for piece in pieces if str(piece.pk) in ticked]
        try:
            paper = actions.ask_for_paper(who=request.user, pieces=chosen, asked=form.asked(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That paper was asked for already.")
            return redirect("listings:cards", kind)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            return redirect("listings:card_paper", paper.pk)
    name, button = KINDS[kind]
    context = {
        "kind": kind,
        "kinds": [(key, told[0]) for key, told in KINDS.items()],
        "name": name,
        "button": button,
        "form": form,
        "pieces": pieces,
        "ticked": {piece.pk for piece in pieces if str(piece.pk) in ticked},
        "is_local": request.get_host().startswith(LOCAL),
        "query": request.GET.urlencode(),
    }
    return render(request, "listings/cards/ask.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def words(request: HttpRequest) -> HttpResponse:
    card = readers.card_words()
    form = WordsForm(request.POST if request.method == "POST" else None, card=card, shop=workshop_of(request))
    rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.write_words(who=request.user, facts=form.facts(), seen_version=form.seen_version, spend=form.spend)
        except AlreadySent:
            return redirect("listings:card_words")
        except EditConflict as conflict:
            rows = form.against(WordsForm(None, card=conflict.current, shop=the_workshop()))
        else:
            messages.success(request, "These words stand on every card and label made from now on.")
            return redirect("listings:card_words")
    context = {"form": form, "conflict": rows is not None, "conflict_rows": rows}
    status = 422 if form.errors else 409 if rows is not None else 200
    return render(request, "listings/cards/words.html", context, status=status)


@require_GET
@owner_required
def paper(request: HttpRequest, paper_pk: int) -> HttpResponse:
    return _paper(request, paper_pk, "listings/cards/asked.html")


@require_GET
@owner_required
def paper_state(request: HttpRequest, paper_pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    return _paper(request, paper_pk, "listings/cards/_state.html")


def _paper(request: HttpRequest, pk: int, template: str) -> HttpResponse:
    found = get_object_or_404(PiecePaper, pk=pk)
    context = {"paper": found, "state": readers.state_of(found), "name": KINDS[found.kind][0]}
    if template.endswith("asked.html"):
        context["says"] = json.loads(found.says)
    return render(request, template, context)


@require_GET
@owner_required
def paper_pdf(request: HttpRequest, paper_pk: int) -> HttpResponse:
    found = get_object_or_404(PiecePaper.objects.select_related("document"), pk=paper_pk)
    return pdf_answer(found.document, f"{found.kind}-{found.pk}.pdf", "This paper is not made yet.")
