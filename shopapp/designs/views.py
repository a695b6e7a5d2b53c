"""Pages about designs: the list, a picture brought, the grid beside it, and the woods chosen for it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key

from . import actions, readers
from .forms import BringForm, WoodsForm
from .models import Design


@require_GET
def designs(request: HttpRequest) -> HttpResponse:
    return render(request, "designs/designs.html", {"cards": readers.designs_in_view()})


@require_GET
def designs_aside(request: HttpRequest) -> HttpResponse:
    return render(request, "designs/aside.html", {"cards": readers.designs_in_view(aside=True)})


@require_http_methods(["GET", "POST"])
def bring(request: HttpRequest) -> HttpResponse:
    form = BringForm(request.POST, request.FILES) if request.method == "POST" else BringForm()
    if request.method == "POST" and form.is_valid():
        try:
            design = actions.bring_picture(
                who=request.user,
                name=form.cleaned_data["name"],
                upload=form.cleaned_data["picture"],
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That picture was already brought; it is in the list once.")
            return redirect("designs:designs")
        except PlannerError as error:
            form.add_error("picture", str(error))
        else:
            return redirect(design)
    return render(request, "designs/bring.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def design(request: HttpRequest, pk: int) -> HttpResponse:
    found = _design(pk)
    if not found.is_read:
        return render(request, "designs/design.html", {"design": found, "state": readers.reading_state(found)})
    choices = readers.wood_choices(found)
    form = _woods_form(choices, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            version = actions.keep_pattern(
                who=request.user,
                design=found,
                choices=form.chosen(),
                margin=form.cleaned_data["margin"],
                grid_png=choices.grid_png,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That choice was already kept.")
            return redirect(found)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"Drawing {version.number} is kept. Reckon the board from it when you are ready.")
            return redirect(found)
    context = readers.design_page(found, choices, form)
    return render(request, "designs/design.html", context, status=422 if form.errors else 200)


def _woods_form(choices: readers.WoodChoices, data) -> WoodsForm:
    return WoodsForm(
        data,
        colours=choices.grid.colours,
        woods=choices.woods,
        suggestion=choices.suggestion,
        margin=choices.margin,
    )


@require_GET
def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """What the waiting page asks every second; once the picture is read it sends the page to itself."""
    found = _design(pk)
    state = readers.reading_state(found)
    response = render(request, "designs/_reading.html", {"design": found, "state": state})
    if state.word == "read":
        response["HX-Refresh"] = "true"
    return response


@require_GET
def preview(request: HttpRequest, pk: int) -> HttpResponse:
    """The pattern as the woods now chosen would make it; nothing is kept."""
    found = _design(pk)
    if not found.is_read:
        raise Http404
    choices = readers.wood_choices(found)
    form = _woods_form(choices, request.GET)
    form.is_valid()
    context = {"design": found, "preview": readers.preview_of(found, choices, form)}
    return render(request, "designs/_preview_live.html", context)


@require_POST
def set_aside(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Design, pk=pk)
    aside = request.POST.get("aside") == "1"
    try:
        actions.set_aside_design(
            who=request.user, design=found, aside=aside, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, f"{found.name} was already {'set aside' if aside else 'brought back'}.")
        return redirect("designs:designs")
    messages.success(request, f"{found.name} is {'set aside; its kept plans stay' if aside else 'back'}.")
    return redirect("designs:aside" if aside else "designs:designs")


def _design(pk: int) -> Design:
    return get_object_or_404(Design.objects.select_related("original", "grid"), pk=pk, set_aside=False)
