"""The page that matches woods to a design's colours, has them changed colour by colour, and keeps them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.views import design_in_view
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import WoodsForm
from .page import WoodsPage


@require_http_methods(["GET", "POST"])
def woods(request: HttpRequest, pk: int) -> HttpResponse:
    """GET shows; POST keeps, unless its button says only to look, or to take one of the choices matched."""
    found = design_in_view(pk)
    if found.source != "picture":
        messages.info(request, f"{found.name} was not read from a picture, so it has no colours to choose woods for.")
        return redirect(found)
    if not found.is_read:
        return redirect(found)
    choices = readers.wood_choices(found)
    form = _form(found, choices, request.POST if request.method == "POST" else None)
    if _is_pressed(request.POST):
        _take(request.POST["take"], found, choices, form)
    elif request.method == "POST" and "look" not in request.POST and form.is_valid():
        try:
            version = _keep(request, found, choices, form)
        except AlreadySent:
            messages.info(request, "That choice was already kept.")
            return redirect(found)
        except EditConflict:
            found = design_in_view(pk)
            choices = readers.wood_choices(found)
            form = _form_after_conflict(found, choices, form)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"Drawing {version.number} is kept. Reckon the board from it when you are ready.")
            return redirect(found)
    return _answer(request, found, choices, form)


def _is_pressed(sent: QueryDict) -> bool:
    """Whether one of the choices matched is to be taken. A live change names the button last pressed as well, and says
    that it only looks."""
    return "take" in sent and sent.get("look", "press") in ("", "press")


def _form(design: Design, choices: readers.WoodChoices, data) -> WoodsForm:
    return WoodsForm(
        data,
        colours=choices.grid.colours,
        woods=choices.woods,
        start=choices.start,
        grid_id=design.grid_id,
        edit_version=choices.newest.number if choices.newest else None,
    )


def _answer(request: HttpRequest, design: Design, choices: readers.WoodChoices, form: WoodsForm) -> HttpResponse:
    page = WoodsPage(design, choices, form, workshop_of(request) if request.user.is_owner else None)
    live = bool(request.htmx) and request.method == "POST"
    context = {"page": page, "design": design, "choices": choices, "form": form, "preview": page.preview}
    if live:
        # What stands on the page already is not sent again.
        context["new_ways"] = request.POST.get("ways_shown") != page.ways_shown
        context["new_rows"] = _is_pressed(request.POST) or request.POST.get("rows_shown") != page.rows_shown
    template = "designs/_woods_live.html" if live else "designs/woods.html"
    # A part with errors is still the answer asked for, so htmx gets 200 and shows it.
    response = render(request, template, context, status=422 if form.errors and not live else 200)
    response.headers["Vary"] = "HX-Request"
    return response


def _take(place: str, design: Design, choices: readers.WoodChoices, form: WoodsForm) -> None:
    """Put the woods of one of the choices matched in the place of those chosen; nothing is kept."""
    taken = WoodsPage(design, choices, form, None).taken(place)
    if taken is None:
        form.tell("That choice is not among those matched now. Look at those that are, and take one.")
    else:
        form.taking(taken)


def _keep(request: HttpRequest, design: Design, choices: readers.WoodChoices, form: WoodsForm) -> PatternVersion:
    """Keep what the form says. Raises EditConflict where the page was of another grid, or another drawing newest."""
    say = form.say()
    if form.is_of_another_grid(design.grid_id):
        raise EditConflict(design)
    return actions.keep_pattern(
        who=request.user,
        design=design,
        choices=WoodsPage(design, choices, form, None).worn,
        margin=say.margin,
        grid_png=choices.grid_png,
        record=choices.record(say, design.grid_id),
        seen_drawing=form.seen_version,
        spend=form.spend,
    )


def _form_after_conflict(design: Design, choices: readers.WoodChoices, seen: WoodsForm) -> WoodsForm:
    """What was chosen, on the grid there is now; the form says what came between, and keeps at the next press."""
    newest = choices.newest
    form = _form(design, choices, seen.data.copy())
    form.data["edit_version"] = newest.number if newest else ""
    form.is_valid()
    if seen.is_of_another_grid(design.grid_id):
        form.tell(
            "The grid was corrected meanwhile. Colours still in it are in the woods you chose, new ones in the wood "
            "suggested. Look at it, and keep it if it is what you want.",
        )
    if newest is not None and seen.seen_version not in (0, newest.number):
        by = f" by {newest.kept_by}" if newest.kept_by else ""
        form.tell(
            f"Drawing {newest.number} was kept meanwhile{by}. What you chose stands below; keep it once more and it is "
            f"drawing {newest.number + 1}, beside the other.",
        )
    return form
