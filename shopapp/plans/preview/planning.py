"""The previews' one door to the planner: a kept record in, a picture in real grain out."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PIL import Image

from planner.drawing.preview import (
    FARTHEST,
    FINISHES,
    NEAREST,
    Melt,
    Preview,
    WoodTone,
    melting,
    preview,
    preview_pixels,
)
from planner.errors import PlannerError
from planner.record import PLANNER_VERSION
from shopapp.lumber.colours.readers import tones_of
from shopapp.plans.models import canonical

__all__ = [
    "FINISHES",
    "Look",
    "fingerprint_of",
    "look_asked",
    "melts_of",
    "on_a_page",
    "picture_of",
    "printed",
    "tones_in",
    "tones_of_record",
]

Tones = dict[str, WoodTone]


@dataclass(frozen=True)
class Look:
    """How a board is looked at: "oiled" or "dry", from so many ``metres`` away, or near where that is None."""

    finish: str = "oiled"
    metres: float | None = None


def look_asked(asked: Mapping[str, str]) -> Look:
    """What an address asks for; what it does not say, or not so that it can be read, is oiled and near."""
    finish = asked.get("finish", "")
    try:
        metres = float(asked.get("from", ""))
    except ValueError:
        metres = 0.0
    return Look(finish if finish in FINISHES else "oiled", metres if NEAREST <= metres <= FARTHEST else None)


def tones_of_record(record: Mapping) -> Tones:
    """Its woods as they look: oiled as the record has them, which was kept, and dry as sampled since, if they were. One
    query."""
    sampled = tones_of(wood["wood"] for wood in record["woods"])
    return tones_in(record, {wood: (None, dry) for wood, (_, dry) in sampled.items()})


def tones_in(record: Mapping, colours: Mapping[str, Sequence[str | None]]) -> Tones:
    """Its woods in ``colours``, oiled and dry by wood, as six digits after a #; oiled, a wood without them has the
    record's own."""
    tones = {}
    for wood in record["woods"]:
        oiled, dry = colours.get(wood["wood"]) or (None, None)
        tones[wood["wood"]] = WoodTone(_rgb(oiled) or tuple(wood["rgb"]), _rgb(dry), wood["mark"], wood["name"])
    return tones


def picture_of(record: Mapping, tones: Tones, look: Look, width: int) -> Preview:
    """Raises PlannerError, field "width"."""
    return preview(record, tones, width=width, finish=look.finish, metres=look.metres)


# About 145 to the inch as a cover prints it, as fine as a minute of arc is at 60 cm (an eye that sees well).
PRINTED_PIXELS = 850
WHITE = (255, 255, 255)


def printed(record: Mapping, tones: Tones) -> bytes:
    """The board oiled and near, on white paper, as a JPEG."""
    return _jpeg(record, tones, PRINTED_PIXELS, quality=90, subsampling=0)


def on_a_page(record: Mapping, tones: Tones, width: int) -> bytes:
    """The same for a page that comes over a slow line: about a third of the bytes, and the eye hardly misses them."""
    return _jpeg(record, tones, width, quality=75, subsampling=2, progressive=True)


def _jpeg(record: Mapping, tones: Tones, width: int, **how: object) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(preview_pixels(record, tones, width=width, ground=WHITE)).save(buffer, "JPEG", **how)
    return buffer.getvalue()


def melts_of(record: Mapping, tones: Tones, metres: float) -> tuple[Melt, ...]:
    return melting(record, tones, metres)


def fingerprint_of(record: Mapping, tones: Tones, look: Look, width: int) -> str:
    """The same for the same picture: what it is drawn from, and how."""
    drawn = {name: record[name] for name in ("spec", "finished", "blank", "parts", "laid", "borders")}
    drawn["details"] = record.get("details", [])
    drawn["panels"] = record.get("panels", [])
    drawn["tones"] = {wood: [tone.oiled, tone.dry] for wood, tone in tones.items()}
    drawn["look"] = [look.finish, look.metres, width, PLANNER_VERSION]
    return hashlib.sha256(canonical(drawn).encode()).hexdigest()


def width_asked(text: str, otherwise: int) -> int:
    """Whole pixels; raises PlannerError for what is no number."""
    if not text:
        return otherwise
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise PlannerError("A picture's width is a whole number of pixels.", mend="Such as 1600.", field="width")
    return int(text)


def _rgb(colour: str | None) -> tuple[int, int, int] | None:
    if not colour:
        return None
    red, green, blue = bytes.fromhex(colour.removeprefix("#"))
    return red, green, blue
