"""A quote being written: begun, changed, given boards, looked over, made."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.designs.models import Design
from shopapp.designs.pictures.asking import ask_first
from shopapp.designs.pictures.rights import question_before
from shopapp.people.permissions import owner_required
from shopapp.plans.models import Plan
from shopapp.quotes.models import Quote, QuoteDraft
from shopapp.quotes.wording import later_than_wanted
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .facts import DraftFacts
from .forms import AtPriceForm, BeginForm, DraftForm
from .ready import there_by


@require_http_methods(["GET", "POST"])
@owner_required
def begin(request: HttpRequest) -> HttpResponse:
    """An enquiry: a title, for whom, by when; boards come later."""
    return _begin(request, [], {})


@require_http_methods(["GET", "POST"])
@owner_required
def begin_from_design(request: HttpRequest, design_pk: int) -> HttpResponse:
    design = get_object_or_404(Design, pk=design_pk, set_aside=False)
    return _begin(request, readers.plans_of_design(design.pk), {"title": design.name}, design=design)


@require_http_methods(["GET", "POST"])
@owner_required
def begin_from_plan(request: HttpRequest, plan_pk: int) -> HttpResponse:
    """From a kept plan, with the others of its design to offer beside it; whose the picture is is asked before."""
    plan = get_object_or_404(Plan.objects.select_related("design"), pk=plan_pk)
    if (asked := ask_first(request, plan.design, "quote", onward="Go on to the quote")) is not None:
        return asked
    others = [one for one in readers.plans_of_design(plan.design_id) if one.pk != plan.pk]
    initial = {"title": plan.design.name, "plans": [str(plan.pk)]}
    return _begin(request, [plan, *others], initial, design=plan.design)


def _begin(request: HttpRequest, plans: list[Plan], initial: dict, design: Design | None = None) -> HttpResponse:
    shop = workshop_of(request)
    said = [one.words for one in readers.offerable(plans, shop.unit)]
    data = request.POST if request.method == "POST" else None
    form = BeginForm(data, plans=plans, labels=said, initial=initial)
    if data is not None and form.is_valid():
        chosen = form.chosen()
        typed = {name: form.cleaned_data[name] for name in ("title", "person", "wanted_by")}
        facts = actions.first_facts(shop, chosen)
        facts = DraftFacts(**{**facts.__dict__, **typed})
        try:
            draft = actions.begin_draft(who=request.user, facts=facts, plans=chosen, spend=form.spend)
        except AlreadySent:
            messages.info(request, "That quote was already begun; it is in the list once.")
            return redirect("quotes:quotes")
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            return redirect(draft)
    context = {"form": form, "design": design, "plans": plans, "picked": "plans" in initial}
    return render(request, "quotes/drafts/begin.html", context, status=422 if form.errors else 200)


def _draft(pk: int) -> QuoteDraft:
    return get_object_or_404(QuoteDraft.objects.select_related("replaces", "made", "person"), pk=pk)


@require_http_methods(["GET", "POST"])
@owner_required
def draft(request: HttpRequest, draft_pk: int) -> HttpResponse:
    found = _draft(draft_pk)
    if found.made is not None:
        if request.method == "POST":
            messages.error(request, f"It was made meanwhile: {found.made}. Write that one anew to change it.")
        return redirect(found.made)
    shop = workshop_of(request)
    options = readers.options_of(found)
    kept = readers.shop_of(shop, options)
    data = request.POST if request.method == "POST" else None
    form = DraftForm.of(found, kept, options, data)
    beside = None
    if data is not None and form.is_valid():
        do, _, text = data.get("do", "keep").partition(" ")
        number = whole_number(text)
        move = (do, number) if do in ("up", "down", "out") and number is not None else None
        try:
            actions.change_draft(
                who=request.user,
                draft=found,
                facts=form.facts(found),
                options=form.of_options(),
                seen_version=form.seen_version,
                move=move,
                spend=form.spend,
            )
        except AlreadySent:
            return redirect(found)
        except EditConflict as conflict:
            found = _draft(conflict.current.pk)
            options = readers.options_of(found)
            beside = form.beside(DraftForm.of(found, kept, options))
            form = DraftForm.of(found, kept, options, form.data)
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            return _after(request, found, do)
    view = readers.as_made(found, options, kept, there_by([], timezone.localdate()))
    context = {
        "draft": found,
        "form": form,
        "drafted": list(zip(readers.drafted(found, options, view, kept), form.rows_of_options(), strict=True)),
        "kept": kept,
        "missing": actions.missing_in(found, options),
        "beside": beside,
        "other": readers.who_changed(found) if beside else "",
    }
    status = 409 if beside else 422 if form.errors else 200
    return render(request, "quotes/drafts/draft.html", context, status=status)


def _after(request: HttpRequest, found: QuoteDraft, do: str) -> HttpResponse:
    if do == "add":
        return redirect("quotes:add", found.pk)
    if do == "look":
        return redirect("quotes:look", found.pk)
    if do == "keep":
        messages.success(request, "It is kept as it is now.")
    return redirect(found)


@require_GET
@owner_required
def ready(request: HttpRequest, draft_pk: int) -> HttpResponse:
    """By when it can be there: asked for by the page once it stands, for it may take a second."""
    found = _draft(draft_pk)
    plans = [one.plan for one in readers.options_of(found)]
    there = there_by(plans, timezone.localdate())
    context = {"draft": found, "there": there, "late": later_than_wanted(there.day, found.wanted_by)}
    return render(request, "quotes/drafts/_ready.html", context)


@require_GET
@owner_required
def at_price(request: HttpRequest, draft_pk: int, option_pk: int) -> HttpResponse:
    """What an option comes to, and leaves, at the price, carriage and deposit that are being typed; nothing is kept."""
    found = _draft(draft_pk)
    options = readers.options_of(found)
    at = next((n for n, one in enumerate(options) if one.pk == option_pk), None)
    if at is None:
        raise Http404("That option is not in it any more.")
    kept = readers.shop_of(workshop_of(request), options)
    typed = AtPriceForm(request.GET, shop=kept, option=options[at])
    if typed.is_valid():
        options[at].price = typed.cleaned_data[f"price_{option_pk}"]
        found.carriage, found.deposit = typed.cleaned_data["carriage"], typed.cleaned_data["deposit"]
    view = readers.as_made(found, options, kept, there_by([], timezone.localdate()))
    context = {
        "draft": found,
        "one": readers.drafted(found, options, view, kept)[at],
        "kept": kept,
        "number": at + 1,
        "trouble": "" if typed.is_valid() else " ".join(line["message"] for line in typed.summary()),
    }
    return render(request, "quotes/drafts/_at_price.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def add(request: HttpRequest, draft_pk: int) -> HttpResponse:
    """Kept plans of a design, to be ticked; the draft's first design unless another is asked for."""
    found = _draft(draft_pk)
    if found.made is not None:
        return redirect(found.made)
    options = readers.options_of(found)
    designs = readers.designs_with_plans()
    asked = request.GET.get("design", "")
    if asked and whole_number(asked) is None:
        raise Http404("There is no design of that number.")
    if not asked and options:
        asked = str(options[0].plan.design_id)
    plans = readers.plans_of_design(int(asked)) if asked else []
    there = {one.plan_id for one in options}
    if request.method == "POST":
        wanted = set(request.POST.getlist("plan"))
        try:
            added = actions.add_options(
                who=request.user,
                draft=found,
                plans=[plan for plan in plans if str(plan.pk) in wanted],
                spend=lambda: spend_key(request.POST.get("form_key", "")),
            )
        except AlreadySent:
            return redirect(found)
        except PlannerError as error:
            messages.error(request, str(error))
        else:
            if not added:
                messages.info(request, "Nothing was ticked, so nothing was added.")
            return redirect(found)
    context = {
        "draft": found,
        "designs": designs,
        "asked": int(asked) if asked else None,
        "plans": readers.offerable(plans, workshop_of(request).unit, there),
    }
    return render(request, "quotes/drafts/add.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def look(request: HttpRequest, draft_pk: int) -> HttpResponse:
    """The quote as the customer will read it, and the button that makes it; whose its pictures are is asked before."""
    found = _draft(draft_pk)
    if found.made is not None:
        return redirect(found.made)
    options = readers.options_of(found)
    unsettled = [one.plan.design for one in options if question_before(one.plan.design, "quote")]
    if unsettled and (asked := ask_first(request, unsettled[0], "quote", onward="Go on to the quote")) is not None:
        return asked
    if request.POST.get("purpose") == "quote":
        # A second press on an answer that is kept already.
        return redirect("quotes:look", found.pk)
    if request.method == "POST":
        answer = _make(request, found)
        if answer is not None:
            return answer
    shop = workshop_of(request)
    there = there_by([one.plan for one in options], timezone.localdate())
    context = {
        "draft": found,
        "view": readers.as_made(found, options, readers.shop_of(shop, options), there),
        "there": there,
        "missing": actions.missing_in(found, options),
    }
    return render(request, "quotes/drafts/look.html", context)


def _make(request: HttpRequest, found: QuoteDraft) -> HttpResponse | None:
    seen = request.POST.get("edit_version", "")
    try:
        quote = actions.make_from(
            who=request.user,
            draft=found,
            seen_version=whole_number(seen, 9) or 0,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That quote was already made; it is in the list once.")
        return redirect("quotes:quotes")
    except EditConflict:
        messages.error(request, "Somebody changed it meanwhile. Here it is as it stands now: look it over again.")
        return redirect("quotes:look", found.pk)
    except PlannerError as error:
        messages.error(request, str(error))
        return None
    messages.success(request, f"{quote} is made, and its paper follows. Nothing in it will change.")
    return redirect(quote)


@require_POST
@owner_required
def aside(request: HttpRequest, draft_pk: int) -> HttpResponse:
    """Put aside, or taken up again: a button each."""
    found = _draft(draft_pk)
    wanted = request.POST.get("aside") != "no"
    try:
        actions.put_aside(
            who=request.user,
            draft=found,
            aside=wanted,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{found.title} is {'put aside' if wanted else 'being written again'}.")
    return redirect("quotes:quotes" if wanted else found)


@require_POST
@owner_required
def anew(request: HttpRequest, pk: int) -> HttpResponse:
    """A quote written anew, as a draft of what it says."""
    quote = get_object_or_404(Quote, pk=pk)
    try:
        made = actions.write_anew(
            who=request.user, quote=quote, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        return redirect(quote.drafts.first() or quote)
    except PlannerError as error:
        messages.error(request, str(error))
        return redirect(quote)
    return redirect(made)
