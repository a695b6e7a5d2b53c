"""Photos of an oiled piece beside a card, painted: the card at the left, the wood at the right."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import numpy as np
from django.utils import timezone
from PIL import Image

from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.colours.actions import SampleFacts, bring_photo, keep_colour
from shopapp.lumber.models import ColourPhoto, WoodOnHand
from tests.support.picture_files import saved
from tests.support.shop import upload

# A white card and a piece in warm light; what daylight would make of the piece is (147, 99, 81).
CARD_SEEN, WOOD_SEEN = (200, 200, 160), (120, 80, 50)
IN_DAYLIGHT = "#936351"
# What the form asks of the piece, as the page sends it.
OF_A_PIECE = {"state": "oiled", "piece": "offcut by the vice", "seen_on": "2026-03-02", "stands_for_wood": "on"}
PLACES = {"card_x": "150", "card_y": "200", "wood_x": "450", "wood_y": "200"}


def photo(width: int = 600, height: int = 400, card=CARD_SEEN, wood=WOOD_SEEN, kind: str = "PNG") -> bytes:
    pixels = np.empty((height, width, 3), dtype=np.uint8)
    pixels[:, : width // 2], pixels[:, width // 2 :] = card, wood
    return saved(Image.fromarray(pixels), kind, **({"quality": 95} if kind == "JPEG" else {}))


def photo_to_tap(owner, wood_id: str, data: bytes | None = None) -> ColourPhoto:
    """A photo brought for a wood and copied by the worker."""
    row = WoodOnHand.objects.get(wood=wood_id)
    brought = bring_photo(who=owner, row=row, upload=upload(data or photo(), "piece.jpg"))
    run_waiting_tasks()
    brought.refresh_from_db()
    return brought


def aged_piece(owner, wood_id: str) -> ColourPhoto:
    """A piece of the wood as it was dry, oiled, and half a year later; the last of its photos."""
    for state, days, wood in (("dry", 182, (150, 118, 88)), ("oiled", 180, WOOD_SEEN), ("oiled", 2, (140, 100, 62))):
        row = WoodOnHand.objects.get(wood=wood_id)
        brought = photo_to_tap(owner, wood_id, photo(wood=wood))
        keep_colour(
            who=owner,
            row=row,
            photo=brought,
            card="white",
            places={"card": (150, 200), "wood": (450, 200)},
            seen_version=row.edit_version,
            facts=SampleFacts(state, "by the vice", seen_on=timezone.localdate() - timedelta(days=days)),
        )
    return brought


def shown(answer) -> str:
    """The words of a page, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", unescape(answer.content.decode())).split())
