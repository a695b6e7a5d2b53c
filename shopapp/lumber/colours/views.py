"""Pages where a wood on hand gets its own colours: from photos of its pieces, or set by eye."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.lumber.models import ColourPhoto, WoodOnHand
from shopapp.people.permissions import owner_required

from . import actions, readers
from .ageing import pieces_that_age
from .forms import ByEyeForm, PhotoForm, PlacesForm, TapForm

# The planner names a patch; on the page its first number stands for it.
_FIELD_OF = {"card": "card_x", "wood": "wood_x"}


@require_http_methods(["GET", "POST"])
@owner_required
def colour(request: HttpRequest, wood_id: str) -> HttpResponse:
    """The samples of a wood, how its pieces age, and a photo to be brought for another. Where the address names a
    piece, the page that taps its photo begins with it."""
    row = get_object_or_404(WoodOnHand, wood=wood_id)
    again = readers.same_piece(request.GET)
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
            return redirect(photo.get_absolute_url() + (f"?{urlencode(again)}" if again else ""))
    kept = readers.kept_colours(row)
    context = {
        "row": row,
        "form": form,
        "again": again,
        "kept": kept,
        "looks": readers.looks_now(row, kept),
        "pieces": pieces_that_age(kept),
        "photos": readers.photos_to_tap(row),
    }
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
    known = {"photo": photo, "finishes": readers.finishes_named()}
    form = TapForm(
        request.POST if request.method == "POST" else None,
        edit_version=row.edit_version,
        initial=readers.tapped(photo, request.GET),
        **known,
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
                facts=form.facts,
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That colour was already kept.")
            return redirect("lumber:colour", row.wood)
        except EditConflict as clash:
            row = clash.current
            conflict_rows = form.against(TapForm(edit_version=row.edit_version, initial=form.cleaned_data, **known))
        except PlannerError as error:
            form.add_error(_FIELD_OF.get(error.field, error.field if error.field in form.fields else None), str(error))
        else:
            messages.success(request, readers.kept_in_words(kept))
            return redirect("lumber:colour", row.wood)
    context = {
        "row": row,
        "photo": photo,
        "form": form,
        "stage": readers.stage_of(photo),
        "swatch": _swatch(row, photo, form),
        "pieces": readers.pieces_named(row),
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
    form = PlacesForm(request.GET, photo=photo)
    context = {"row": photo.wood, "swatch": _swatch(photo.wood, photo, form)}
    return render(request, "lumber/_swatch.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def colour_by_eye(request: HttpRequest, wood_id: str) -> HttpResponse:
    """A colour set by eye, oiled or dry."""
    row = get_object_or_404(WoodOnHand, wood=wood_id)
    form = _by_eye_form(row, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            kept = actions.set_by_eye(
                who=request.user,
                row=row,
                state=form.cleaned_data["state"],
                rgb=form.cleaned_data["rgb"],
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That colour was already kept.")
            return redirect("lumber:colour", row.wood)
        except EditConflict as clash:
            row = clash.current
            conflict_rows = form.against(_by_eye_form(row, None))
        else:
            messages.success(request, readers.kept_in_words(kept))
            return redirect("lumber:colour", row.wood)
    context = {"row": row, "form": form, "conflict": conflict_rows is not None, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "lumber/colour_by_eye.html", context, status=status)


def _by_eye_form(row: WoodOnHand, data) -> ByEyeForm:
    return ByEyeForm(data, edit_version=row.edit_version, initial={"rgb": row.finished_rgb})


def _swatch(row: WoodOnHand, photo: ColourPhoto, form: PlacesForm) -> readers.Swatch | None:
    """The colour at the form's places; None while they are not all there. What else was typed has no part in it."""
    data = form.data if form.is_bound else {"card": "white", **form.initial}
    if not all(data.get(bound.name) not in (None, "") for bound in form.place_fields()):
        return None
    places = PlacesForm(data, photo=photo)
    if not places.is_valid():
        return readers.Swatch(trouble=" ".join(f"{line['label']}: {line['message']}" for line in places.summary()))
    return readers.swatch_of(row, photo, places.cleaned_data["card"], places.places, data.get("state", ""))


def _photo(wood_id: str, photo_pk: int) -> ColourPhoto:
    found = ColourPhoto.objects.select_related("wood", "shown")
    return get_object_or_404(found, pk=photo_pk, wood__wood=wood_id)
