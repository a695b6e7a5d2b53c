"""A picture brought, read by the worker, or given up with words."""

from __future__ import annotations

from collections.abc import Callable

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.images import drop_incoming, drop_old_incoming, incoming_bytes, kept_upload, store_image
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.designs.models import Design
from shopapp.people.models import Member

from . import planning
from .rights import rights_in_words


def bring_picture(
    *,
    who: Member,
    name: str,
    upload: UploadedFile,
    rights: str = "unknown",
    note: str = "",
    spend: Callable[[], None] = lambda: None,
) -> Design:
    """Keep the upload as it came, privately, with whose it is said to be, and ask the worker to read it."""
    with kept_upload(upload) as incoming, transaction.atomic():
        spend()
        design = Design.objects.create(name=name, incoming=incoming, rights=rights, rights_note=note)
        write_audit(who, f"{name} was brought as a picture, {rights_in_words(design)}.", design)
        # In the same transaction: no design ever waits for a reading nobody was asked for.
        design.reading_task = enqueue(read_design, design.pk)
        design.save(update_fields=["reading_task"])
    return design


@background(name="read a picture")
def read_design(design_id: int) -> None:
    """The worker's part: decode, read the grid, store clean copies, and drop the bytes as they came.

    A picture without a grid in it is kept all the same, with the words of the refusal, so that it can be reduced."""
    design = Design.objects.get(pk=design_id)
    if not design.awaits_reading:
        return
    try:
        picture = planning.read(incoming_bytes(design.incoming))
    except PlannerError as error:
        _finish_reading(design, trouble=str(error))
        return
    stored = {"original": store_image(picture.original_png, purpose="original")}
    if picture.shown_png:
        stored["shown"] = store_image(picture.shown_png, purpose="shown")
    reading = dict(picture.seen)
    if picture.grid_png:
        stored["grid"] = store_image(picture.grid_png, purpose="grid")
        # Which stored grid is the one that was read, once a corrected one has taken its place.
        reading["grid_image"] = stored["grid"].pk
    trouble = picture.no_grid
    _finish_reading(design, reading=reading, trouble=trouble, no_grid=bool(trouble), **stored)


def _finish_reading(design: Design, **found: object) -> None:
    incoming = design.incoming
    with transaction.atomic():
        # Only while it waits: of two who read it at once, after a worker was given up too soon, the first holds.
        Design.objects.filter(pk=design.pk, grid=None, trouble="").update(incoming="", **found)
    drop_incoming(incoming)


def tidy_readings() -> None:
    """Give up pictures whose reading ended for good without a word of its own, and drop uploads nobody waits for."""
    for design in Design.objects.filter(grid=None, trouble="").exclude(incoming=""):
        state = task_state(design.reading_task)
        if state.word in ("failed", "unknown"):
            _finish_reading(design, trouble=state.message or "The reading was lost. Bring the picture again.")
    drop_old_incoming(set(Design.objects.exclude(incoming="").values_list("incoming", flat=True)))
