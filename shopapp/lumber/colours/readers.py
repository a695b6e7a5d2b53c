"""What the pages about a wood's colour show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, Subquery
from django.utils.formats import date_format
from django.utils.timezone import localtime

from planner.errors import PlannerError
from shopapp.common.images import image_bytes
from shopapp.common.tasks import task_state
from shopapp.lumber.models import ColourPhoto, WoodColour, WoodOnHand

from . import planning

# How wide the photo is where a browser runs no script: as it is tapped there, so it is sent.
TAPPED_WIDTH = 280


@dataclass(frozen=True)
class KeptColour:
    colour: WoodColour
    plank: str


def kept_colours(row: WoodOnHand) -> list[KeptColour]:
    """Every colour the wood was given, newest first. One query."""
    rows = row.colours.select_related("photo", "taken_by")
    return [KeptColour(colour, planning.plank_in(row, colour.rgb)) for colour in rows]


def colour_note(row: WoodOnHand) -> str:
    """In a sentence, where the colour the wood is shown in comes from. One query, none for a stand-in."""
    if row.colour_is_stand_in:
        return "Its colour on screen is a stand-in, not measured."
    newest = row.colours.first()
    if newest is None:
        return "Its colour on screen was set by eye."
    how = "taken from a photo of an oiled piece" if newest.photo_id else "set by eye"
    return f"Its colour on screen was {how} on {date_format(localtime(newest.taken_at), 'j M Y')}."


def photos_to_tap(row: WoodOnHand) -> list[ColourPhoto]:
    """The wood's photos that no colour was kept from yet and that came to something, or may still."""
    used = row.colours.exclude(photo=None).values("photo")
    return list(row.colour_photos.filter(trouble="").exclude(shown__in=used)[:5])


@dataclass(frozen=True)
class PhotoState:
    """How far the worker is with a photo: ``waiting``, ``working``, ``shown`` or ``failed`` with words."""

    word: str
    trouble: str = ""


def photo_state(photo: ColourPhoto) -> PhotoState:
    if photo.shown_id:
        return PhotoState("shown")
    if photo.trouble:
        return PhotoState("failed", photo.trouble)
    state = task_state(photo.task)
    if state.word in ("failed", "unknown"):
        return PhotoState("failed", state.message or "The photo was lost. Bring it again.")
    return PhotoState("waiting" if state.word == "waiting" else "working")


@dataclass(frozen=True)
class Swatch:
    """The colour at the places tapped beside the one the wood has, or in words why there is none."""

    rgb: str = ""
    plank: str = ""
    now: str = ""
    remarks: tuple[str, ...] = ()
    trouble: str = ""


def swatch_of(row: WoodOnHand, photo: ColourPhoto, card: str, places: Mapping[str, tuple[int, int]]) -> Swatch:
    try:
        found = planning.wood_colour(image_bytes(photo.shown), places["card"], places["wood"], card)
    except PlannerError as error:
        return Swatch(trouble=str(error))
    rgb = planning.hex_of(found.rgb)
    return Swatch(rgb, planning.plank_in(row, rgb), planning.plank_in(row, row.finished_rgb), found.warnings)


def stage_of(photo: ColourPhoto) -> dict[str, object]:
    """What the photo's part of the page needs: its size, how far around a tap is looked at, and the fixed size it is
    tapped at where no script runs."""
    width, height = photo.shown.width, photo.shown.height
    return {
        "width": width,
        "height": height,
        "radius": planning.disc_radius(width, height),
        "tapped_width": TAPPED_WIDTH,
        "tapped_height": max(1, round(TAPPED_WIDTH * height / width)),
    }


def tapped(photo: ColourPhoto, query: Mapping[str, str]) -> dict[str, int | str]:
    """What an address says of places in the photo, as it is sent where no script runs: those already placed, and a
    tap on the photo at its fixed size. What cannot be read is left out."""
    stage = stage_of(photo)
    found: dict[str, int | str] = {}
    for name in ("card_x", "card_y", "wood_x", "wood_y"):
        value = _whole(query.get(name))
        if value is not None and value <= int(str(stage["width" if name.endswith("x") else "height"])):
            found[name] = value
    x, y = _whole(query.get("tap.x")), _whole(query.get("tap.y"))
    if x is not None and y is not None and x <= TAPPED_WIDTH and y <= int(str(stage["tapped_height"])):
        place = "wood" if query.get("place") == "wood" else "card"
        share = photo.shown.width / TAPPED_WIDTH
        found[f"{place}_x"] = min(photo.shown.width, round(x * share))
        found[f"{place}_y"] = min(photo.shown.height, round(y * share))
    if query.get("card") in WoodColour.Card.values:
        found["card"] = str(query["card"])
    return found


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 6 else None


def photos_awaited() -> set[str]:
    """Names of the uploads that wait for their copy."""
    return set(ColourPhoto.objects.exclude(incoming="").values_list("incoming", flat=True))


def tones_of(wood_ids: Iterable[str | None]) -> dict[str, tuple[str, str | None]]:
    """For each wood how it looks oiled, and how it looks dry where a dry sample was kept, as six digits after a #. A
    wood that was never on hand has the stand-in of the table; what is no wood of the table is left out. One query."""
    wanted = {wood_id for wood_id in wood_ids if wood_id}
    rows = WoodOnHand.objects.filter(wood__in=wanted).annotate(dry=_newest(WoodColour.State.DRY))
    found = {row.wood: (row.finished_rgb, row.dry) for row in rows}
    return {
        wood_id: found.get(wood_id) or (planning.stand_in(wood_id), None)
        for wood_id in wanted
        if wood_id in found or planning.is_of_the_table(wood_id)
    }


def _newest(state: str) -> Subquery:
    """Of each wood the newest colour that it is shown in, oiled or dry."""
    of_wood = WoodColour.objects.filter(wood=OuterRef("pk"), state=state, stands_for_wood=True)
    return Subquery(of_wood.order_by("-seen_on", "-pk").values("rgb")[:1])


def faults_of_colours() -> list[str]:
    """Woods whose colour is not the newest they were given."""
    rows = WoodOnHand.objects.annotate(newest=_newest(WoodColour.State.OILED)).exclude(newest=None)
    return [
        f"{row.name} is shown as {row.finished_rgb}, but the newest colour it was given is {row.newest}."
        for row in rows
        if row.newest.lower() != row.finished_rgb.lower()
    ]
