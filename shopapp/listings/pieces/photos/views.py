"""The page where a piece's photos are brought, put in order and said in words."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, is_key, spend_key
from shopapp.listings.models import Piece, PiecePhoto
from shopapp.people.permissions import owner_required

from . import actions, readers
from .forms import PhotosForm, PhotoWordsForm


@require_http_methods(["GET", "POST"])
@owner_required
def photos(request: HttpRequest, piece_pk: int) -> HttpResponse:
    piece = get_object_or_404(Piece.objects.select_related("job"), pk=piece_pk)
    form = PhotosForm(request.POST, request.FILES) if request.method == "POST" else PhotosForm()
    if request.method == "POST" and form.is_valid() and (answer := _brought(request, piece, form)) is not None:
        return answer
    context = {"piece": piece, "form": form, **_shown(piece)}
    return render(request, "listings/pieces/photos.html", context, status=422 if form.errors else 200)


def _brought(request: HttpRequest, piece: Piece, form: PhotosForm) -> HttpResponse | None:
    """Each photo for itself: where one is refused, those before it are kept, and it is said."""
    kept = 0
    for number, upload in enumerate(form.cleaned_data["photos"]):
        key = form.fresh_key()
        try:
            # Each spends a key of its own, made of the form's, so that none is brought twice.
            actions.bring_photo(
                who=request.user, piece=piece, upload=upload, spend=lambda n=number, k=key: _spend(k, n)
            )
        except AlreadySent:
            continue
        except PlannerError as error:
            form.add_error("photos", f"{upload.name}: {error}")
            return None
        kept += 1
    if kept:
        messages.success(request, "1 photo is being read." if kept == 1 else f"{kept} photos are being read.")
    else:
        messages.info(request, "They were brought already; each stands here once.")
    return redirect("listings:photos", piece.pk)


def _spend(key: str, number: int) -> None:
    if not is_key(key):
        raise AlreadySent
    spend_key(key if not number else f"{key[:60]}-{number}")


def _shown(piece: Piece) -> dict[str, object]:
    shown = readers.photos_of(piece)
    return {
        "rows": [(one, PhotoWordsForm(photo=one.photo)) for one in shown],
        "waits": any(one.word in ("waiting", "working") for one in shown),
    }


@require_GET
@owner_required
def photos_read(request: HttpRequest, piece_pk: int) -> HttpResponse:
    """The list alone, while the worker reads."""
    piece = get_object_or_404(Piece, pk=piece_pk)
    return render(request, "listings/pieces/_photos.html", {"piece": piece, **_shown(piece)})


ACTS = {"earlier", "later", "choose", "words", "away"}


@require_POST
@owner_required
def photo_act(request: HttpRequest, shot_pk: int, act: str) -> HttpResponse:
    photo = get_object_or_404(PiecePhoto.objects.select_related("piece"), pk=shot_pk)
    if act not in ACTS:
        raise Http404("Nothing of that name is done to a photo.")
    done = {"who": request.user, "photo": photo, "spend": lambda: spend_key(request.POST.get("form_key", ""))}
    try:
        if act in (actions.EARLIER, actions.LATER):
            actions.move_photo(**done, way=act)
        elif act == "choose":
            actions.choose_photo(**done)
        elif act == "away":
            actions.take_photo_away(**done)
        else:
            form = PhotoWordsForm(request.POST, photo=photo)
            if not form.is_valid():
                messages.error(request, " ".join(form.errors["words"]))
                return redirect("listings:photos", photo.piece_id)
            actions.say_photo(**done, words=form.cleaned_data["words"])
    except AlreadySent:
        messages.info(request, "That was done already.")
    except PlannerError as error:
        messages.error(request, str(error))
    return redirect("listings:photos", photo.piece_id)
