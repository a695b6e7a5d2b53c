"""Pieces on one page, each on its own, and boards of a finished job that get their numbers."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.jobs.actions import DONE
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece
from shopapp.listings.selling.commissions import hand_over_commission, sales_of_commission
from shopapp.people.permissions import owner_required

from . import actions, doing, readers
from .forms import NumberForm, PiecesForm
from .instead import stands_in_for
from .waiting import what_waits


@require_GET
def pieces(request: HttpRequest) -> HttpResponse:
    form = PiecesForm(request.GET)
    asked = form.cleaned_data if form.is_valid() else {}
    words, where = asked.get("words", ""), asked.get("where", "")
    page = Paginator(readers.found(words, where), readers.A_PAGE).get_page(request.GET.get("page"))
    narrowed = {name: value for name, value in (("words", words), ("where", where)) if value}
    query = f"{urlencode(narrowed)}&" if narrowed else ""
    today = timezone.localdate()
    context = {"page": page, "form": form, "narrowed": bool(narrowed), "query": query, "today": today}
    if request.user.is_owner and not narrowed:
        context["waits"] = what_waits(today)
    return render(request, "listings/pieces/pieces.html", context)


@require_GET
def piece(request: HttpRequest, piece_pk: int) -> HttpResponse:
    return doing.page(request, readers.the_piece(piece_pk))


@require_http_methods(["GET", "POST"])
@owner_required
def number(request: HttpRequest, job_pk: int) -> HttpResponse:
    """One press numbers every board a finished job made."""
    job = get_object_or_404(Job.objects.select_related("plan"), pk=job_pk)
    if job.state not in DONE:
        messages.error(request, f"{job.label} is {job.get_state_display()}. Say that it is finished first.")
        return redirect(job)
    has = list(job.pieces.order_by("number"))
    left = max(actions.boards_of(job) - len(has), 1)
    initial = {"title": job.label, "count": left, "made_on": timezone.localdate(), "instead_of": stands_in_for(job)}
    form = NumberForm(request.POST if request.method == "POST" else None, job=job, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.number_pieces(who=request.user, job=job, **_typed(form), spend=form.spend)
        except AlreadySent:
            messages.info(request, "They have their numbers already.")
            return redirect("listings:pieces")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, _said(made))
            return redirect(made[0] if len(made) == 1 else "listings:pieces")
    # A commission handed over before this was written down by itself.
    unsold = job.state == Job.State.HANDED_OVER and job.quote_id is not None and not sales_of_commission(job)
    context = {"job": job, "form": form, "has": has, "unsold": unsold}
    return render(request, "listings/pieces/number.html", context, status=422 if form.errors else 200)


def _typed(form: NumberForm) -> dict[str, object]:
    typed = form.cleaned_data
    told = {name: typed[name] for name in ("title", "count", "made_on", "spares")}
    return {**told, "instead_of": lambda job: typed.get("instead_of")}


def _said(made: list[Piece]) -> str:
    if len(made) == 1:
        return f"{made[0].title} is No. {made[0].number}."
    return f"{made[0].title}: No. {made[0].number} to {made[-1].number}."


@require_POST
@owner_required
def commission(request: HttpRequest, job_pk: int) -> HttpResponse:
    """The boards of an accepted quote that were handed over are written down as sold."""
    job = get_object_or_404(Job, pk=job_pk)
    if job.state != Job.State.HANDED_OVER:
        messages.error(request, f"{job.label} is {job.get_state_display()}. Say that it was handed over first.")
        return redirect(job)
    try:
        sales = hand_over_commission(
            who=request.user, job=job, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "It is written down as sold." if sales else "It was written down as sold already.")
    return redirect(job)
