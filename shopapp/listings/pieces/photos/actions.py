"""A photo brought, read by the worker, moved, chosen, said in words, taken away."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import Max

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.images import drop_incoming, incoming_bytes, kept_upload, store_image
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.listings.models import Piece, PiecePhoto
from shopapp.listings.public.sizes import ask_for_sizes
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import planning

Spend = Callable[[], None]
PURPOSE = "piece photo"
MOST = 24
EARLIER, LATER = "earlier", "later"


def bring_photo(*, who: Member | None, piece: Piece, upload: UploadedFile, spend: Spend = lambda: None) -> PiecePhoto:
    """Keep the upload as it came, privately, and ask the worker for the copy that is shown. Raises PlannerError where
    the file is empty or too large, or the piece has photos enough."""
    owner_only(who)
    with kept_upload(upload) as incoming, transaction.atomic():
        spend()
        piece = Piece.objects.select_for_update().get(pk=piece.pk)
        shown = piece.photos.filter(taken_away=False)
        if shown.count() >= MOST:
            raise PlannerError(f"{piece} has {MOST} photos.", mend="Take one away first.", field="photos")
        last = shown.aggregate(Max("place"))["place__max"] or 0
        photo = PiecePhoto.objects.create(piece=piece, place=last + 1, incoming=incoming)
        photo.task = enqueue(read_photo, photo.pk)
        photo.save(update_fields=["task"])
        write_audit(who, f"A photo of {piece} was brought.", piece)
    return photo


@background(name="read a photo of a piece")
def read_photo(photo_id: int) -> None:
    """The worker's part: decode, store the clean copy, drop the bytes as they came. What cannot be read fails with the
    planner's words."""
    photo = PiecePhoto.objects.get(pk=photo_id)
    if not photo.incoming:
        return
    try:
        png = planning.shown_copy(incoming_bytes(photo.incoming))
    except PlannerError:
        _give_up(photo)
        raise
    image = store_image(png, purpose=PURPOSE)
    with transaction.atomic():
        piece = Piece.objects.select_for_update().get(pk=photo.piece_id)
        # Only while it waits: of two who read it at once, after a worker was given up too soon, the first holds.
        chosen = not piece.photos.filter(chosen=True).exists()
        waits = PiecePhoto.objects.filter(pk=photo.pk, image=None, taken_away=False)
        waits.update(image=image, incoming="", chosen=chosen)
        _for_visitors(piece, PiecePhoto.objects.get(pk=photo.pk))
    drop_incoming(photo.incoming)


def _for_visitors(piece: Piece, photo: PiecePhoto) -> None:
    """Where visitors see the piece already, they need the chosen photo in their sizes."""
    if photo.chosen and photo.image_id is not None and piece.listings.filter(public=True).exists():
        ask_for_sizes([photo])


def _give_up(photo: PiecePhoto) -> None:
    PiecePhoto.objects.filter(pk=photo.pk, image=None).update(incoming="")
    drop_incoming(photo.incoming)


def tidy_photos() -> None:
    """Give up photos whose reading ended for good without a word of its own."""
    for photo in PiecePhoto.objects.filter(image=None).exclude(incoming=""):
        if task_state(photo.task).word in ("failed", "unknown"):
            _give_up(photo)


def photos_awaited() -> set[str]:
    """Uploads whose photo is not read yet."""
    return set(PiecePhoto.objects.exclude(incoming="").values_list("incoming", flat=True))


def move_photo(*, who: Member | None, photo: PiecePhoto, way: str, spend: Spend = lambda: None) -> None:
    """One place earlier or later; at the end of the row it stays where it is."""
    with _changed(who, photo, spend):
        row = list(photo.piece.photos.filter(taken_away=False).order_by("place", "pk"))
        at = [one.pk for one in row].index(photo.pk)
        to = at - 1 if way == EARLIER else at + 1
        if 0 <= to < len(row):
            row[at], row[to] = row[to], row[at]
        for place, one in enumerate(row, start=1):
            if one.place != place:
                PiecePhoto.objects.filter(pk=one.pk).update(place=place)


def choose_photo(*, who: Member | None, photo: PiecePhoto, spend: Spend = lambda: None) -> None:
    """The one that stands for the piece wherever one is shown."""
    with _changed(who, photo, spend):
        if photo.image_id is None:
            raise PlannerError("It is not read yet.", mend="Wait a moment.")
        photo.piece.photos.filter(chosen=True).update(chosen=False)
        PiecePhoto.objects.filter(pk=photo.pk).update(chosen=True)
        photo.chosen = True
        _for_visitors(photo.piece, photo)


def say_photo(*, who: Member | None, photo: PiecePhoto, words: str, spend: Spend = lambda: None) -> None:
    """What is to be seen in it, for whoever cannot see it."""
    with _changed(who, photo, spend):
        PiecePhoto.objects.filter(pk=photo.pk).update(words=words)


def take_photo_away(*, who: Member | None, photo: PiecePhoto, spend: Spend = lambda: None) -> None:
    """It is shown nowhere any more; where it was the chosen one, the first of the others is."""
    with _changed(who, photo, spend):
        PiecePhoto.objects.filter(pk=photo.pk).update(taken_away=True, chosen=False)
        others = photo.piece.photos.filter(taken_away=False).exclude(image=None)
        first = others.order_by("place", "pk").first()
        if photo.chosen and first is not None:
            PiecePhoto.objects.filter(pk=first.pk).update(chosen=True)
            first.chosen = True
            _for_visitors(photo.piece, first)
        write_audit(who, f"A photo of {photo.piece} was taken away.", photo.piece)


@contextmanager
def _changed(who: Member | None, photo: PiecePhoto, spend: Spend) -> Iterator[None]:
    """A transaction that holds the piece, with the photo as it is now."""
    owner_only(who)
    with transaction.atomic():
        spend()
        Piece.objects.select_for_update().get(pk=photo.piece_id)
        photo.refresh_from_db()
        if photo.taken_away:
            raise PlannerError("That photo was taken away.", mend="Look at those there are.")
        yield
