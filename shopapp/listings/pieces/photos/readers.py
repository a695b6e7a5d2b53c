"""A piece's photos as their page shows them."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.common.tasks import task_states
from shopapp.listings.models import Piece, PiecePhoto

LOST = "The photo was lost on its way. Take it away and bring it again."


@dataclass(frozen=True)
class PhotoShown:
    """``word`` is "shown", "waiting", "working" or "failed", and ``trouble`` says why."""

    photo: PiecePhoto
    word: str
    trouble: str = ""


def photos_of(piece: Piece) -> list[PhotoShown]:
    """In their order. Two queries at most."""
    photos = list(piece.photos.filter(taken_away=False).select_related("image"))
    open_ones = [one for one in photos if one.image_id is None]
    states = dict(zip((one.pk for one in open_ones), task_states([one.task for one in open_ones]), strict=True)
                  if open_ones else ())  # fmt: skip
    return [_shown(one, states.get(one.pk)) for one in photos]


def _shown(photo: PiecePhoto, state) -> PhotoShown:
    if photo.image_id is not None:
        return PhotoShown(photo, "shown")
    if state.word in ("waiting", "working"):
        return PhotoShown(photo, state.word)
    return PhotoShown(photo, "failed", state.message or LOST)
