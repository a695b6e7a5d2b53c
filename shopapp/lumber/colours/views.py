"""Pages where a wood on hand gets its own colour from a photo."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.lumber.models import ColourPhoto, WoodOnHand
from shopapp.people.permissions import owner_required

from . import actions, readers
from .forms import PhotoForm, TapForm

# The planner names a patch; on the page its first number stands for it.
_FIELD_OF = {"card": "card_x", "wood": "wood_x"}


@require_http_methods(["GET", "POST"])
@owner_required
def colour(request: HttpRequest, wood_id: str) -> HttpResponse:
    """The colours a wood was given, and a photo to be brought for another."""
    row = get_object_or_404(WoodOnHand, wood=wood_id)
    form = PhotoForm(request.POST, request.FILES) if request.method == "POST" else PhotoForm()
    if request.method == "POST" and form.is_valid():
        try:
            photo = actions.bring_photo(who=request.user, row=row, upload=form.cleaned_data["photo"], spend=form.spend)
        except AlreadySent:
            messages.info(request, "That photo was already brought; it stands below once.")
            return redirect("lumber:colour", row.wood)
        except PlannerError as error:
            form.add_error("photo", str(error))
        else:
            return redirect(photo)
    context = {"row": row, "form": form, "kept": readers.kept_colours(row), "photos": readers.photos_to_tap(row)}
    return render(request, "lumber/colour.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def colour_photo(request: HttpRequest, wood_id: str, photo_pk: int) -> HttpResponse:
    """A photo to tap card and wood in, once the worker has copied it."""
    photo = _photo(wood_id, photo_pk)
    row = photo.wood
    if photo.shown_id is None:
        if request.method == "POST":
            raise Http404
        context = {"row": row, "photo": photo, "state": readers.photo_state(photo)}
        return render(request, "lumber/colour_waiting.html", context)
    form = TapForm(
        request.POST if request.method == "POST" else None,
        photo=photo,
        edit_version=row.edit_version,
        initial=readers.tapped(photo, request.GET),
    )
    conflict_rows = None
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        try:
            kept = actions.keep_colour(
                who=request.user,
                row=row,
                photo=photo,
                card=form.cleaned_data["card"],
                places=form.places,
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That colour was already kept.")
            return redirect("lumber:colour", row.wood)
        except EditConflict as clash:
            row = clash.current
            conflict_rows = form.against(TapForm(photo=photo, edit_version=row.edit_version, initial=form.cleaned_data))
        except PlannerError as error:
            form.add_error(_FIELD_OF.get(error.field), str(error))
        else:
            messages.success(request, f"{row.name} now has the colour of your oiled piece, {kept.rgb}.")
            return redirect("lumber:colour", row.wood)
    context = {
        "row": row,
        "photo": photo,
        "form": form,
        "stage": readers.stage_of(photo),
        "swatch": _swatch(row, photo, form),
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
    }
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "lumber/colour_photo.html", context, status=status)


@require_GET
@owner_required
def colour_waiting(request: HttpRequest, wood_id: str, photo_pk: int) -> HttpResponse:
    """What the waiting page asks every second; once the photo can be shown it sends the page to itself."""
    photo = _photo(wood_id, photo_pk)
    state = readers.photo_state(photo)
    response = render(request, "lumber/_waiting.html", {"row": photo.wood, "photo": photo, "state": state})
    if state.word == "shown":
        response["HX-Refresh"] = "true"
    return response


@require_GET
@owner_required
def colour_swatch(request: HttpRequest, wood_id: str, photo_pk: int) -> HttpResponse:
    """The colour at the places now tapped; nothing is kept."""
    photo = _photo(wood_id, photo_pk)
    if photo.shown_id is None:
        raise Http404
    form = TapForm(request.GET, photo=photo)
    context = {"row": photo.wood, "swatch": _swatch(photo.wood, photo, form)}
    return render(request, "lumber/_swatch.html", context)


def _swatch(row: WoodOnHand, photo: ColourPhoto, form: TapForm) -> readers.Swatch | None:
    """The colour at the form's places; None while they are not all there."""
    if not form.is_bound:
        sent = form.initial
        if not {"card_x", "card_y", "wood_x", "wood_y"} <= set(sent):
            return None
        form = TapForm({"card": "white", **sent}, photo=photo)
    elif not all(form.data.get(bound.name) for bound in form.place_fields()):
        return None
    if not form.is_valid():
        return readers.Swatch(trouble=" ".join(f"{line['label']}: {line['message']}" for line in form.summary()))
    return readers.swatch_of(row, photo, form.cleaned_data["card"], form.places)


def _photo(wood_id: str, photo_pk: int) -> ColourPhoto:
    found = ColourPhoto.objects.select_related("wood", "shown")
    return get_object_or_404(found, pk=photo_pk, wood__wood=wood_id)
