"""The page that chooses a wood for each colour, and its live preview."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent
from shopapp.designs.views import design_in_view

from . import actions, readers
from .forms import WoodsForm


@require_http_methods(["GET", "POST"])
def woods(request: HttpRequest, pk: int) -> HttpResponse:
    found = design_in_view(pk)
    if not found.is_read:
        return redirect(found)
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
    context = readers.woods_page(found, choices, form)
    return render(request, "designs/woods.html", context, status=422 if form.errors else 200)


def _woods_form(choices: readers.WoodChoices, data) -> WoodsForm:
    return WoodsForm(
        data,
        colours=choices.grid.colours,
        woods=choices.woods,
        suggestion=choices.suggestion,
        margin=choices.margin,
    )


@require_GET
def preview(request: HttpRequest, pk: int) -> HttpResponse:
    """The pattern as the woods now chosen would make it; nothing is kept."""
    found = design_in_view(pk)
    if not found.is_read:
        raise Http404
    choices = readers.wood_choices(found)
    form = _woods_form(choices, request.GET)
    form.is_valid()
    context = {"design": found, "preview": readers.preview_of(found, choices, form)}
    return render(request, "designs/_preview_live.html", context)
