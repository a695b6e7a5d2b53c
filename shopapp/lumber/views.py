"""Pages about the woods on hand."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .colours.readers import colour_note
from .forms import AddWoodForm, WoodForm
from .models import WoodOnHand
from .planning import ANY_WOOD_DUST, plank, stand_in_plank


@require_GET
@owner_required
def woods(request: HttpRequest) -> HttpResponse:
    return render(request, "lumber/woods.html", {"rows": readers.woods_on_hand(), "dust": ANY_WOOD_DUST})


@require_http_methods(["GET", "POST"])
@owner_required
def add(request: HttpRequest) -> HttpResponse:
    missing = readers.missing_woods()
    form = AddWoodForm(
        request.POST if request.method == "POST" else None,
        shop=workshop_of(request),
        missing=missing,
        taken_marks=readers.taken_marks(),
        initial={
            "wood": request.GET.get("wood", ""),
            "rough_thickness": Length.of_inches("5/4"),
            "rough_width": Length.of_inches(6) if workshop_of(request).unit == "in" else Length.of_mm(150),
            "mark": readers.free_mark(),
        },
    )
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_wood(who=request.user, values=form.values(), spend=form.spend)
        except AlreadySent:
            return redirect("lumber:woods")
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{row.name} is among your woods.")
            return redirect("lumber:woods")
    chosen = form["wood"].value()
    context = {
        "form": form,
        "chosen": readers.published_wood(chosen) if chosen in missing else None,
        "dust": ANY_WOOD_DUST,
        "missing": [readers.published_wood(wood_id) for wood_id in missing],
    }
    return render(request, "lumber/add.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def wood_page(request: HttpRequest, wood_id: str) -> HttpResponse:
    """A wood of this maker's to change, or of the table to read about; both with what is published."""
    published = readers.published_wood(wood_id)
    if published is None:
        raise Http404
    row = WoodOnHand.objects.filter(wood=wood_id).first()
    if row is None:
        if request.method == "POST":
            raise Http404
        context = {"published": published, "plank": stand_in_plank(published.wood)}
        return render(request, "lumber/not_on_hand.html", context)
    form = _form(request, row, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_wood(
                who=request.user, row=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect("lumber:woods")
        except EditConflict as clash:
            conflict_rows = form.against(_form(request, clash.current, None, form.unit_shown))
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept.")
            return redirect("lumber:woods")
    context = {
        "row": row,
        "form": form,
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
        "published": published,
        "plank": plank(row),
        "colour_note": colour_note(row),
    }
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "lumber/wood.html", context, status=status)


def _form(request: HttpRequest, row: WoodOnHand, data, unit_shown: str = "") -> WoodForm:
    return WoodForm(
        data,
        shop=workshop_of(request),
        taken_marks=readers.taken_marks(besides=row),
        unit_shown=unit_shown,
        edit_version=row.edit_version,
        initial={name: getattr(row, name) for name in WoodForm.base_fields if hasattr(row, name)},
    )


@require_POST
@owner_required
def on_hand(request: HttpRequest, wood_id: str) -> HttpResponse:
    row = get_object_or_404(WoodOnHand, wood=wood_id)
    wanted = request.POST.get("on_hand") == "1"
    try:
        actions.put_on_hand(
            who=request.user,
            row=row,
            on_hand=wanted,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        pass
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{row.name} is {'on hand again' if wanted else 'set aside'}.")
    return redirect("lumber:woods")
