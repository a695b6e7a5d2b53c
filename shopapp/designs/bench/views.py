"""The bench where a pattern is drawn, and what it asks of the shop meanwhile."""

from __future__ import annotations

import secrets

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.common.numbers import whole_number
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.views import design_in_view
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import BenchForm, BlankForm


@require_http_methods(["GET", "POST"])
def blank(request: HttpRequest) -> HttpResponse:
    form = BlankForm(request.POST) if request.method == "POST" else BlankForm()
    if request.method == "POST" and form.is_valid():
        given = {name: form.cleaned_data[name] for name in ("name", "rows", "columns")}
        try:
            design = actions.begin_blank(who=request.user, **given, spend=form.spend)
        except AlreadySent:
            messages.info(request, "That grid was already begun; it is in the list once.")
            return redirect("designs:designs")
        return redirect("designs:bench", design.pk)
    return render(request, "designs/blank.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def bench(request: HttpRequest, pk: int) -> HttpResponse:
    """GET opens the bench at ``?from=`` a drawing, else at the newest; POST keeps what was typed as rows."""
    found = design_in_view(pk)
    if request.method == "POST":
        return _keep(request, found, as_page=True)
    version = _drawing_asked_for(found, request.GET.get("from", ""))
    if version is None and found.source != "blank":
        return redirect("designs:woods" if found.is_read else "designs:design", found.pk)
    start = version.pattern if version else readers.empty_grid_of(found).to_text()
    form = BenchForm(initial={"pattern": start, "parent": version.number if version else ""})
    return _page(request, found, version, form)


@require_POST
def bench_keep(request: HttpRequest, pk: int) -> HttpResponse:
    """Keeps a drawing: in JSON for the bench's own script, as a page for a plain form."""
    return _keep(request, design_in_view(pk), as_page="text/html" in request.headers.get("Accept", ""))


@require_GET
def bench_newest(request: HttpRequest, pk: int) -> JsonResponse:
    """What a second bench asks, to learn that something was kept meanwhile."""
    return JsonResponse(readers.newest_kept(design_in_view(pk)))


@require_POST
def bench_hints(request: HttpRequest, pk: int) -> JsonResponse:
    """What is to be mended in the grid sent; a POST for its length only, it writes nothing."""
    design_in_view(pk)
    try:
        return JsonResponse(readers.hints(request.POST.get("pattern", ""), workshop_of(request)))
    except PlannerError as error:
        return JsonResponse({"words": str(error), "field": "pattern"}, status=422)


def _drawing_asked_for(design: Design, number: str) -> PatternVersion | None:
    if not number:
        return design.versions.order_by("-number").first()
    wanted = whole_number(number, 9) or 0
    version = design.versions.filter(number=wanted).first()
    if version is None:
        raise Http404("This design has no drawing of that number.")
    return version


def _page(
    request: HttpRequest, design: Design, version: PatternVersion | None, form: BenchForm, status: int = 200
) -> HttpResponse:
    begin = readers.bench_page(
        design, version, workshop=workshop_of(request), owner=request.user.is_owner, form_key=form.fresh_key()
    )
    context = {"design": design, "version": version, "form": form, "bench": begin}
    return render(request, "designs/bench.html", context, status=status)


def _keep(request: HttpRequest, design: Design, *, as_page: bool) -> HttpResponse:
    form = BenchForm(request.POST)
    kept = None
    if form.is_valid():
        try:
            kept = actions.keep_drawing(
                who=request.user,
                design=design,
                text=form.cleaned_data["pattern"],
                name=form.cleaned_data["name"],
                parent=form.cleaned_data["parent"],
                spend=form.spend,
            )
        except AlreadySent:
            kept = _kept_already(design, form)
        except PlannerError as error:
            # What cannot be read as rows says so without naming a field.
            form.add_error(None if error.field == "parent" else "pattern", str(error))
    if as_page:
        if kept is None:
            version = design.versions.filter(number=form.cleaned_data.get("parent") or 0).first()
            return _page(request, design, version, form, status=422)
        messages.success(request, kept.words)
        return redirect(kept.url)
    return _kept_in_json(kept, form)


def _kept_already(design: Design, form: BenchForm) -> actions.KeptDrawing | None:
    """A form that comes a second time: the drawing it kept, or words and a new key when it holds another one now."""
    version = readers.kept_already(design, form.cleaned_data["pattern"])
    if version is not None:
        return actions.KeptDrawing(version, branched=False, again=True)
    form.data = form.data.copy()
    form.data["form_key"] = secrets.token_urlsafe(24)
    form.add_error(
        None, "This page kept a drawing before, and these rows are not it. Keep once more for another drawing."
    )
    return None


def _kept_in_json(kept: actions.KeptDrawing | None, form: BenchForm) -> JsonResponse:
    """With a key for the next time: a bench stays open when it has kept something."""
    if kept is None:
        line = form.summary()[0]
        return JsonResponse(
            {"words": line["message"], "field": line["id"].removeprefix("id_"), "form_key": form.fresh_key()},
            status=422,
        )
    return JsonResponse(
        {
            "number": kept.version.number,
            "url": kept.url,
            "branched_from_older": kept.branched,
            "words": kept.words,
            "form_key": secrets.token_urlsafe(24),
        }
    )
