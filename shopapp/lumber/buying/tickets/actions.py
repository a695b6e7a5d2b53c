"""A photo of a ticket brought, and copied by the worker."""

from __future__ import annotations

from collections.abc import Callable

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.images import drop_incoming, incoming_bytes, kept_upload, store_image
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.lumber.models import Delivery, TicketPhoto
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import planning

PURPOSE = "ticket"
# Pixels along the longer side: small print stays readable.
LONGEST = 1800
MOST_PHOTOS = 12


def bring_ticket(
    *, who: Member, delivery: Delivery, upload: UploadedFile, spend: Callable[[], None] = lambda: None
) -> TicketPhoto:
    """Keep the upload as it came, privately, and ask the worker for the copy that is shown. Raises PlannerError when
    the file is empty or too large, or the delivery has photos enough."""
    owner_only(who)
    with kept_upload(upload) as incoming, transaction.atomic():
        spend()
        if delivery.tickets.filter(trouble="").count() >= MOST_PHOTOS:
            raise PlannerError(f"This delivery has {MOST_PHOTOS} photos already.", mend="That is the most it can have.")
        photo = TicketPhoto.objects.create(delivery=delivery, brought_by=who, incoming=incoming)
        write_audit(who, f"A photo of the ticket was brought for the delivery of {delivery}.", delivery)
        photo.task = enqueue(copy_ticket, photo.pk)
        photo.save(update_fields=["task"])
    return photo


@background(name="copy a photo of a ticket")
def copy_ticket(photo_id: int) -> None:
    """The worker's part: decode, store the clean copy, and drop the bytes as they came."""
    photo = TicketPhoto.objects.get(pk=photo_id)
    if not photo.is_waiting:
        return
    try:
        png = planning.shown_copy(incoming_bytes(photo.incoming), LONGEST)
    except PlannerError as error:
        _finish(photo, trouble=str(error))
        return
    _finish(photo, shown=store_image(png, purpose=PURPOSE))


def _finish(photo: TicketPhoto, **found: object) -> None:
    with transaction.atomic():
        # Only while it waits: of two who copied it at once, after a worker was given up too soon, the first holds.
        TicketPhoto.objects.filter(pk=photo.pk, shown=None, trouble="").update(incoming="", **found)
    drop_incoming(photo.incoming)


def tidy_tickets() -> None:
    """Give up photos whose copying ended for good without a word of its own."""
    for photo in TicketPhoto.objects.filter(shown=None, trouble="").exclude(incoming=""):
        state = task_state(photo.task)
        if state.word in ("failed", "unknown"):
            _finish(photo, trouble=state.message or "The photo was lost. Bring it again.")
