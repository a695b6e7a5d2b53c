"""A photo brought for a wood's colour, copied by the worker, and the colour kept from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.images import drop_incoming, image_bytes, incoming_bytes, kept_upload, store_image
from shopapp.common.models import StoredImage
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.lumber.models import ColourPhoto, WoodColour, WoodOnHand
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import planning


def bring_photo(
    *, who: Member, row: WoodOnHand, upload: UploadedFile, spend: Callable[[], None] = lambda: None
) -> ColourPhoto:
    """Keep the upload as it came, privately, and ask the worker for the copy that is shown. Raises PlannerError when
    the file is empty or too large."""
    owner_only(who)
    with kept_upload(upload) as incoming, transaction.atomic():
        spend()
        photo = ColourPhoto.objects.create(wood=row, brought_by=who, incoming=incoming)
        write_audit(who, f"A photo was brought for the colour of {row.name}.", row)
        photo.task = enqueue(copy_photo, photo.pk)
        photo.save(update_fields=["task"])
    return photo


@background(name="copy a photo of a wood")
def copy_photo(photo_id: int) -> None:
    """The worker's part: decode, store the small clean copy, and drop the bytes as they came."""
    photo = ColourPhoto.objects.get(pk=photo_id)
    if not photo.is_waiting:
        return
    try:
        png = planning.shown_copy(incoming_bytes(photo.incoming))
    except PlannerError as error:
        _finish(photo, trouble=str(error))
        return
    _finish(photo, shown=store_image(png, purpose="wood colour"))


def _finish(photo: ColourPhoto, **found: object) -> None:
    with transaction.atomic():
        # Only while it waits: of two who copied it at once, after a worker was given up too soon, the first holds.
        ColourPhoto.objects.filter(pk=photo.pk, shown=None, trouble="").update(incoming="", **found)
    drop_incoming(photo.incoming)


def tidy_photos() -> None:
    """Give up photos whose copying ended for good without a word of its own."""
    for photo in ColourPhoto.objects.filter(shown=None, trouble="").exclude(incoming=""):
        state = task_state(photo.task)
        if state.word in ("failed", "unknown"):
            _finish(photo, trouble=state.message or "The photo was lost. Bring it again.")


def keep_colour(
    *,
    who: Member,
    row: WoodOnHand,
    photo: ColourPhoto,
    card: str,
    places: Mapping[str, tuple[int, int]],
    seen_version: int,
    spend: Callable[[], None] = lambda: None,
) -> WoodColour:
    """Give the wood the colour it has in the photo at ``places["wood"]``, with the card at ``places["card"]``.

    Raises PlannerError in words when the places tell no colour, EditConflict when somebody else changed the wood.
    """
    owner_only(who)
    # Before the transaction: nothing waits for a picture to be decoded.
    found = planning.wood_colour(image_bytes(photo.shown), places["card"], places["wood"], card)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        before = "a stand-in" if row.colour_is_stand_in else row.finished_rgb
        row.finished_rgb = planning.hex_of(found.rgb)
        row.colour_is_stand_in = False
        row.save()
        colour = note_colour(
            row, who=who, photo=photo.shown, card=card, places=dict(places), remarks=list(found.warnings)
        )
        bump_version(row)
        write_audit(who, f"{row.name}: colour when oiled taken from a photo, {before} to {row.finished_rgb}.", row)
    return colour


def note_colour(row: WoodOnHand, *, who: Member | None, photo: StoredImage | None = None, **more: object) -> WoodColour:
    """Write down the colour the wood has now as its newest; within the transaction that gave it."""
    return WoodColour.objects.create(wood=row, rgb=row.finished_rgb, taken_by=who, photo=photo, **more)
