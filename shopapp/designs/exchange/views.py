"""Patterns out, as PNG, JSON and rows of text, and patterns in."""

from __future__ import annotations

import re
from pathlib import Path

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.designs.drawings.views import drawing_or_404
from shopapp.designs.models import Design
from shopapp.designs.planning import pattern_from_text
from shopapp.designs.views import design_in_view
from shopapp.lumber.planning import looks_on_hand

from . import actions, planning, readers
from .forms import PatternInForm
from .legend import legend_of, plain_meaning, read_as

# As a drawing's file is titled: the design, the drawing's number and, if it had any, its name.
_TITLE = re.compile(r".*?, drawing \d+(?:, (?P<name>.*))?", re.DOTALL | re.ASCII)
SCHEMA = Path(__file__).with_name("pattern-form.json")


@require_GET
def pattern_png(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = drawing_or_404(pk, number)
    data = planning.png_of(pattern_from_text(version.pattern), looks_on_hand())
    return _file(data, "image/png", version.design, number, "png")


@require_GET
def pattern_json(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = drawing_or_404(pk, number)
    title = f"{version.design.name}, {version.title}"
    text = planning.json_of(pattern_from_text(version.pattern), looks_on_hand(), title)
    return _file(text.encode(), "application/json", version.design, number, "json")


@require_GET
def pattern_text(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = drawing_or_404(pk, number)
    return _file(f"{version.pattern}\n".encode(), "text/plain; charset=utf-8", version.design, number, "txt")


@require_GET
def pattern_form(request: HttpRequest) -> HttpResponse:
    """The schema of the JSON form, for whoever wants to write one."""
    return HttpResponse(SCHEMA.read_bytes(), content_type="application/schema+json")


def _file(data: bytes, kind: str, design: Design, number: int, ending: str) -> HttpResponse:
    response = HttpResponse(data, content_type=kind)
    # Letters every system's file names can hold.
    name = slugify(design.name)[:60] or "pattern"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}-drawing-{number}.{ending}"'
    return response


@require_http_methods(["GET", "POST"])
def pattern_in(request: HttpRequest) -> HttpResponse:
    """A pattern comes in: as a design of its own, or with ``?design=`` as another drawing of one. Rows whose marks
    are not all woods of this maker's come back with a legend to fill in."""
    design = _design_asked_for(request)
    given = {"new_design": design is None}
    if request.method == "GET":
        return _page(request, design, PatternInForm(**given), None)
    brought = readers.brought_in(request.POST.get("text", ""), request.FILES.get("file"), request.POST.get("kind", ""))
    data = _as_read(request, brought)
    looks, on_hand, woods = readers.woods_to_choose()
    answered = _answered(request)
    legend, meaning = [], None
    if brought.pasted is not None:
        meaning = plain_meaning(brought.pasted, on_hand)
        legend = [] if meaning else legend_of(brought.pasted, looks, on_hand, brought.names, answered)
    # The legend is judged only when it was on the page and is still about these marks.
    judged = bool(legend) and [line.mark for line in legend] == list(answered)
    for i, line in enumerate(legend if judged else []):
        # A wood that was added meanwhile answers for itself.
        data[f"wood_{i}"] = data[f"wood_{i}"] or line.guess
    form = PatternInForm(data, request.FILES, **given, legend=legend if judged else None, woods=woods)
    if brought.trouble and brought.at not in form.errors:
        form.add_error(brought.at, brought.trouble)
    if form.is_valid() and (judged or meaning is not None):
        answer = _keep(request, design, form, brought.pasted.pattern(meaning or form.meaning()))
        if answer is not None:
            return answer
    elif form.is_valid():
        shown = {name: form.cleaned_data[name] for name in ("name", "text", "kind")}
        form = PatternInForm(initial=shown, **given, legend=legend, woods=woods)
    return _page(request, design, form, brought.pasted)


def _design_asked_for(request: HttpRequest) -> Design | None:
    number = request.GET.get("design", "")
    if not number:
        return None
    if not (number.isascii() and number.isdigit() and len(number) < 19):
        raise Http404("There is no design of that number.")
    return design_in_view(int(number))


def _as_read(request: HttpRequest, brought: readers.BroughtIn):
    """What was sent, with the rows read out of a file in the field for rows, so that the next step has them, and the
    title a file carries where no name was typed."""
    data = request.POST.copy()
    data["text"], data["kind"] = brought.text, brought.kind
    if brought.title and not data.get("name", "").strip():
        data["name"] = _drawing_name(brought.title)[:60] if request.GET.get("design") else brought.title[:80]
    return data


def _drawing_name(title: str) -> str:
    """What a drawing was called by itself: another drawing's title carries its design and its number as well."""
    found = _TITLE.fullmatch(title)
    return (found["name"] or "") if found else title


def _answered(request: HttpRequest) -> dict[str, str]:
    """The legend as it came back: mark by mark the wood chosen. The marks stand beside their fields, for the rows
    may have been changed meanwhile."""
    answered = {}
    for i in range(planning.MOST_ASKED):
        mark = request.POST.get(f"mark_{i}")
        if mark is None:
            break
        answered[mark] = request.POST.get(f"wood_{i}", "")
    return answered


def _keep(
    request: HttpRequest, design: Design | None, form: PatternInForm, pattern: planning.Pattern
) -> HttpResponse | None:
    """The way on once it is kept; None when it could not be, with the words on the form."""
    try:
        version = actions.bring_pattern(
            who=request.user, pattern=pattern, name=form.cleaned_data["name"], design=design, spend=form.spend
        )
    except AlreadySent:
        messages.info(request, "That pattern was already brought in; it is here once.")
        return redirect(design or "designs:designs")
    except PlannerError as error:
        form.add_error("text", str(error))
        return None
    messages.success(request, f"{version.design.name}, {version.title}, is kept.")
    return redirect(version)


def _page(
    request: HttpRequest, design: Design | None, form: PatternInForm, pasted: planning.Pasted | None
) -> HttpResponse:
    lacking = {
        word: [line.name or f"“{line.mark}”" for line in form.legend if line.lacking == word]
        for word in ("never", "out")
    }
    context = {"design": design, "form": form, "lacking": lacking, "read_as": read_as(pasted) if pasted else ""}
    return render(request, "designs/pattern_in.html", context, status=422 if form.errors else 200)
