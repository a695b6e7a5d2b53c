"""What a delivery's page shows of its ticket."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.common.models import StoredImage
from shopapp.common.tasks import task_state
from shopapp.lumber.models import Delivery, TicketPhoto


@dataclass(frozen=True)
class TicketsSeen:
    """Copies that can be shown, how many photos still wait, and why nothing came of the one brought last."""

    shown: list[StoredImage]
    waiting: int
    trouble: str


def tickets_of(delivery: Delivery) -> TicketsSeen:
    """One query, and one more for each photo that waits."""
    photos = list(delivery.tickets.select_related("shown"))
    waiting, trouble = 0, ""
    for photo in photos:
        # Whoever brought another photo has read what was wrong with the one before.
        trouble = photo.trouble
        if photo.is_waiting:
            state = task_state(photo.task)
            if state.word in ("failed", "unknown"):
                trouble = state.message or "The photo was lost. Bring it again."
            else:
                waiting += 1
    return TicketsSeen([photo.shown for photo in photos if photo.shown], waiting, trouble)


def tickets_awaited() -> set[str]:
    """Names of the uploads that wait for their copy."""
    return set(TicketPhoto.objects.exclude(incoming="").values_list("incoming", flat=True))
