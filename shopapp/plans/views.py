"""The reckoning of a board, the plans kept from it, and their papers."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.common.documents import pdf_answer
from shopapp.common.numbers import whole_number
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.pictures.rights import sentence_before_it_leaves
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, planning, readers
from .details import ticked
from .forms import BoardForm
from .methods.readers import compared_then
from .models import Plan
from .otherwoods import drawing_in, in_words
from .otherwoods import read as read_laid
from .preview.readers import grain_at, in_grain
from .wood.readers import meter_of


@require_GET
@owner_required
def plans(request: HttpRequest) -> HttpResponse:
    return render(request, "plans/plans.html", {"plans": readers.kept_plans()})


@require_http_methods(["GET", "POST"])
@owner_required
def reckoning(request: HttpRequest, design_pk: int) -> HttpResponse:
    """GET reckons what the address asks and writes nothing; POST keeps it as a plan. It is the newest drawing's board
    unless another drawing is asked for."""
    drawing = (request.POST if request.method == "POST" else request.GET).get("drawing", "")
    version = version_asked(design_pk, drawing)
    workshop = workshop_of(request)
    laid = laid_text(request)
    woods = readers.border_woods()
    start = readers.first_board(workshop, version)
    if request.method == "POST" and "reckon" in request.POST:
        # Without scripts the button asks for the reckoning: the answer is a page one can keep the address of.
        # No field reads more than forty characters; an address of megabytes would be cut off on its way.
        names = (*start, "unit_shown", *(["drawing"] if drawing else []), *(["laid"] if laid else []))
        asked = {name: request.POST.get(name, "")[:200] for name in names} | {"details": ticked(request.POST)[:200]}
        return redirect(f"{request.path}?{urlencode(asked)}")
    form = board_form(request, version, workshop, woods, start)
    view, swaps = None, {}
    if form.is_valid():
        keep = request.method == "POST" and not _was_drawn_anew(form, version)
        board = {name: form.cleaned_data[name] for name in start}
        try:
            swaps = laid_asked(request, version)
            if keep:
                plan = actions.keep_plan(
                    who=request.user, version=version, board=board, workshop=workshop, laid=swaps, spend=form.spend
                )
                messages.success(request, "The plan is kept. Nothing will change it.")
                return redirect(plan)
            drawn = drawing_in(version, swaps)
            view = readers.RecordView(
                planning.reckon_board(drawn, board, workshop)[1], version.design.name, workshop.unit
            )
        except AlreadySent:
            messages.info(request, "This plan was already kept; it is in the list once.")
            return redirect("plans:plans")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
    asked = asked_of(form, start, drawing, laid)
    template = "plans/_reckoning.html" if request.htmx and request.method == "GET" else "plans/reckoning.html"
    context = {
        "design": version.design,
        "version": version,
        "drawing": drawing,
        "form": form,
        "view": view,
        "woods": woods,
        "grain": view and grain_at(reverse("plans:reckoning_png", args=[design_pk]), asked),
        "laid": laid,
        "laid_words": in_words(swaps, dict(woods)),
        "meter": view and meter_of(view.record, workshop),
    }
    # A fragment with errors is still the answer asked for, so htmx gets 200 and shows it.
    status = 422 if form.errors and not request.htmx else 200
    response = render(request, template, context, status=status)
    response.headers["Vary"] = "HX-Request"
    if request.htmx:
        response.headers["HX-Replace-Url"] = request.get_full_path()
    return response


def asked_of(form: BoardForm, start: Mapping, drawing: str, laid: str = "") -> dict[str, str]:
    """What the board on the page was asked to be, as an address says it."""
    asked = {name: str(form.data.get(name, ""))[:200] for name in (*start, "unit_shown")}
    return asked | ({"drawing": drawing} if drawing else {}) | ({"laid": laid} if laid else {})


def laid_text(request: HttpRequest) -> str:
    """Which woods the address, or the form that is sent, lays for which."""
    return (request.POST if request.method == "POST" else request.GET).get("laid", "")[:5000]


def laid_asked(request: HttpRequest, version: PatternVersion) -> dict[str, str]:
    """The same, read. Raises PlannerError in words."""
    text = laid_text(request)
    return read_laid(text, version, {wood for wood, _ in readers.border_woods()}) if text else {}


@require_POST
@owner_required
def bench_reckoning(request: HttpRequest, design_pk: int) -> HttpResponse:
    """The figures of a pattern that lies on the bench; a POST for its length only, it writes nothing."""
    design = get_object_or_404(Design, pk=design_pk, set_aside=False)
    context: dict[str, object] = {"design": design}
    try:
        context |= readers.figures_at_the_bench(design, request.POST.get("pattern", ""), workshop_of(request))
    except PlannerError as error:
        context["trouble"] = str(error)
    return render(request, "plans/_bench_figures.html", context)


def board_form(request: HttpRequest, version: PatternVersion, workshop, woods, start) -> BoardForm:
    given = {"unit": workshop.unit, "woods": woods, "workshop": workshop, "edit_version": version.number}
    if request.method == "POST":
        return BoardForm(request.POST, **given)
    blank = BoardForm(initial=start, **given)
    typed = {name: blank.fields[name].prepare_value(blank[name].value()) for name in start}
    asked = {name: text for name, text in request.GET.items() if name in start or name == "unit_shown"}
    asked["details"] = ticked(request.GET)
    first = not set(request.GET) - {"drawing"}
    return BoardForm({**(typed if first else asked), "edit_version": version.number}, **given)


def _was_drawn_anew(form: BoardForm, version: PatternVersion) -> bool:
    """Whether the page to be kept showed another drawing than the newest. What is kept is what was seen."""
    if form.seen_version in (0, version.number):
        return False
    form.add_error(
        None,
        f"Drawing {version.number} was kept meanwhile; what you saw was drawing {form.seen_version}. "
        "Look at the figures, which are the new drawing's now, and keep them if they are what you want.",
    )
    form.data = {**form.data.dict(), "details": ticked(form.data), "edit_version": version.number}
    return True


def version_asked(design_pk: int, drawing: str) -> PatternVersion:
    """The drawing of that number, or the newest when none is asked for."""
    design = get_object_or_404(Design, pk=design_pk, set_aside=False)
    versions = design.versions.select_related("design").order_by("-number")
    if not drawing:
        version = versions.first()
        if version is None:
            raise Http404("This design has no pattern yet. Choose its woods first.")
        return version
    number = whole_number(drawing, 9) or 0
    version = versions.filter(number=number).first()
    if version is None:
        raise Http404("This design has no drawing of that number.")
    return version


@require_GET
@owner_required
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    # What was made of the plan since is told on its page; whose rows these are is of no concern here.
    rows = Plan.objects.select_related("design", "version", "kept_by", "build_sheet")
    found = get_object_or_404(rows.prefetch_related("quote_options__quote", "jobs__listings"), pk=pk)
    record = found.record
    shop = readers.shop_as_kept(workshop_of(request), record)
    context = {
        "plan": found,
        "shop": shop,
        "view": readers.RecordView(record, found.title, shop.unit),
        **in_grain(lambda name: reverse(f"plans:{name}", args=[found.pk])),
        "compared_then": compared_then(record),
        "meter": meter_of(record, shop, f"plan {found.pk}"),
        "before_it_leaves": sentence_before_it_leaves(found.design),
    }
    return render(request, "plans/plan.html", context)


@require_GET
@owner_required
def sheet_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The build sheet of a plan that was kept before there were shop books, as it was made then."""
    found = get_object_or_404(Plan.objects.select_related("build_sheet__document"), pk=pk)
    sheet = getattr(found, "build_sheet", None)
    none = "This plan has no build sheet. What to build by is in its shop book."
    return pdf_answer(sheet and sheet.document, f"build-sheet-{found.pk}.pdf", none)
