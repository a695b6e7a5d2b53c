"""A job on its page, its wood, and a quote that is accepted."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.common.templatetags.shop import money
from shopapp.lumber.promising import pages as promising
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.permissions import owner_required
from shopapp.plans.models import Plan
from shopapp.plans.readers import kept_plans
from shopapp.quotes.models import Quote
from shopapp.quotes.readers import QuoteView
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .agreeing import actions as agreeing
from .agreeing.readers import unlike_of
from .beginning.actions import TakesOther, WoodLacking
from .cutting import closed_words
from .done.madeof import made_of
from .done.open import leaving_of
from .forms import AcceptedForm, JobForm
from .gauged.readers import address_of, gauged_of
from .models import Job
from .stages.readers import stages_of


def _job(pk: int) -> Job:
    return get_object_or_404(Job.objects.select_related("plan__design", "quote", "person", "of"), pk=pk)


@require_GET
def job(request: HttpRequest, pk: int) -> HttpResponse:
    return _job_page(request, _job(pk))


def _job_page(request: HttpRequest, found: Job, said: list[str] | None = None, status: int = 200) -> HttpResponse:
    # Asked for in more than one place of the page.
    prefetch_related_objects([found], "listings", "pieces", "after")
    owner = request.user.is_owner
    done = found.state in (Job.State.FINISHED, Job.State.HANDED_OVER)
    called_off = found.state == Job.State.CALLED_OFF
    may = tuple(Job.State.values) if owner else tuple(actions.AT_THE_BENCH)
    shop = workshop_of(request)
    gauged = gauged_of(found, shop)
    may_call_off = owner and Job.State.CALLED_OFF in actions.NEXT[Job.State(found.state)]
    page = readers.job_page(found, shop, names=owner)
    context = {
        **page,
        "said": [{"message": words} for words in said or []],
        "may_put_back": owner and found.state == Job.State.UNDER_WAY and page["promised"].out,
        **(readers.quoted(found) if owner else {}),
        "steps": readers.steps_from(found, may),
        "may_call_off": may_call_off,
        "leaving": leaving_of(found) if may_call_off and page["promised"].out else None,
        "closed": closed_words(found),
        "done": done,
        "over": done or called_off,
        # Of what was called off only how far it came.
        "stages": [one for one in stages_of(found) if not called_off or one.done or one.cut],
        "unlike": unlike_of(found),
        "gauged": gauged,
        "measured_at": address_of(found, gauged),
        "made_of": made_of(found) if done else None,
        "listable": owner and done,
    }
    return render(request, "jobs/job.html", context, status=status)


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    asked = whole_number(request.GET.get("plan", ""))
    plan = Plan.objects.filter(pk=asked).first() if asked is not None else None
    plans = _plans(plan)
    initial = {"plan": str(plan.pk), "label": plan.design.name} if plan else {}
    of = request.GET.get("of", "")
    form = JobForm(
        request.POST if request.method == "POST" else None,
        plans=plans,
        earlier=readers.earlier_pieces(),
        initial={**initial, **({"of": of, "kind": Job.Kind.REPAIR} if whole_number(of) is not None else {})},
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.make_job(who=request.user, facts=form.facts(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That job was already written down; it is in the list once.")
            return redirect("jobs:jobs")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{made.label} is written down.")
            return redirect(made)
    return render(request, "jobs/new.html", {"form": form}, status=422 if form.errors else 200)


def _plans(besides: Plan | None) -> list[Plan]:
    """The newest kept plans, and the one that is meant, however old."""
    plans = kept_plans()
    return plans if besides is None or besides in plans else [besides, *plans]


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, pk: int) -> HttpResponse:
    found = _job(pk)
    form = _change_form(found, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_job(
                who=request.user,
                job=found,
                facts=form.facts(found.plan),
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            conflict_rows = form.against(_change_form(conflict.current, None))
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['label']} is kept as it is now.")
            return redirect(found)
    conflict = conflict_rows is not None
    context = {"job": found, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "jobs/change.html", context, status=status)


def _change_form(found: Job, data) -> JobForm:
    plans = None if found.quote_id is not None else _plans(found.plan)
    earlier = readers.earlier_pieces(besides=found)
    return JobForm(
        data, plans=plans, earlier=earlier, initial=JobForm.initial_of(found), edit_version=found.edit_version
    )


@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """How far the job is now: a button each."""
    found = get_object_or_404(Job, pk=pk)
    seen = request.POST.get("edit_version", "")
    try:
        event = actions.move_job(
            who=request.user,
            job=found,
            state=request.POST.get("state", ""),
            seen_version=whole_number(seen, 9) or 0,
            with_open=request.POST.get("with_open", "")[:64],
            learn=request.POST.getlist("learn"),
            wood=request.POST.get("wood", "")[:64],
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That was already written down.")
    except actions.ThingsOpen as error:
        messages.error(request, str(error))
        return redirect(found) if request.POST.get("state") == Job.State.CALLED_OFF else redirect("jobs:done", found.pk)
    except WoodLacking as error:
        return _job_page(request, _job(pk), [*error.lacking, error.mend], status=422)
    except TakesOther as error:
        return _job_page(request, _job(pk), [str(error)], status=409)
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, event.words)
    return redirect(found)


@require_POST
def agree(request: HttpRequest, pk: int) -> HttpResponse:
    """Cut plan or evenings are ticked after the other; back to the page that was open."""
    found = _job(pk)
    homes = {"tonight": ["tonight"], "cut": ["cut_doing", pk], "card": ["timetable_doing", pk]}
    name, *args = homes.get(request.POST.get("from", ""), ["job", pk])
    try:
        words = agreeing.agree(
            who=request.user,
            job=found,
            seen=request.POST.get("agree", "")[:64],
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
    except StockMoved as error:
        return _job_page(request, _job(pk), [str(error)], status=409)
    except PlannerError as error:
        return _job_page(request, _job(pk), [str(error)], status=422)
    else:
        messages.success(request, words)
    return redirect(f"jobs:{name}", *args)


@require_http_methods(["GET", "POST"])
def wood(request: HttpRequest, pk: int) -> HttpResponse:
    return promising.choose(request, readers.wanted_by(_job(pk)))


@require_http_methods(["GET", "POST"])
def back(request: HttpRequest, pk: int, out: str) -> HttpResponse:
    return promising.bring_back(request, readers.wanted_by(_job(pk)), out)


@require_http_methods(["GET", "POST"])
@owner_required
def accept(request: HttpRequest, quote_pk: int) -> HttpResponse:
    """A quote is accepted, in words or on paper: its job is made with it."""
    quote = get_object_or_404(Quote.objects.select_related("replaces"), pk=quote_pk)
    view = QuoteView(quote, workshop_of(request))
    form = AcceptedForm(
        request.POST if request.method == "POST" else None,
        options=[(str(one.option.place), f"{one.label}, {money(one.sums['gross'], quote)}") for one in view.options],
        initial={"name": quote.for_whom, "label": quote.title, "due": quote.there_by or quote.wanted_by},
    )
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        place = typed.get("option", "")
        try:
            made = actions.accept_quote(
                who=request.user,
                quote=quote,
                option=next((one.option for one in view.options if str(one.option.place) == place), None),
                label=typed["label"],
                due=typed["due"],
                name=typed["name"],
                spend=form.spend,
            )
        except AlreadySent:
            return redirect(Job.objects.filter(quote=quote).first() or quote)
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{quote} is accepted, and here is its job.")
            return redirect(made)
    context = {"quote": quote, "form": form, "view": view, "past": quote.is_past(timezone.localdate())}
    return render(request, "jobs/accept.html", context, status=422 if form.errors else 200)
