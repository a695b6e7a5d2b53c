"""What is done with, and what becomes of its wood: nothing that was taken for it stands as out any more."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.lumber.models import StockPiece
from shopapp.plans.models import sign_of_read

from .models import Job

MADE = (Job.State.FINISHED, Job.State.HANDED_OVER)
OVER = (*MADE, Job.State.CALLED_OFF)
# Nothing more is made for it.
CLOSED = (Job.State.HANDED_OVER, Job.State.CALLED_OFF)


def over_word(job: Job) -> str:
    """What is said of boards that were taken, for a line; empty while they are out."""
    return "used" if job.state in MADE else "not back" if job.state == Job.State.CALLED_OFF else ""


def became_of(pk: int) -> str:
    """What became of wood that was taken for a job; empty while it is out. One query."""
    job = Job.objects.filter(pk=pk).only("label", "state").first()
    if job is None or job.state not in OVER:
        return ""
    if job.state == Job.State.CALLED_OFF:
        return f"cut for {job.label}, which was called off"
    return f"used up in {job.label}"


@dataclass(frozen=True)
class Leaving:
    """What becomes of the boards that are out where a job is called off: ``whole`` ones come back with it, of ``begun``
    ones nothing more does."""

    whole: list[StockPiece]
    begun: list[StockPiece]

    def __bool__(self) -> bool:
        return bool(self.whole or self.begun)

    @property
    def seen(self) -> str:
        """What whoever calls it off has read."""
        told = [[piece.mark for piece in self.whole], [piece.mark for piece in self.begun]]
        return sign_of_read(told)
