"""What the pages about a wood's colour show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, Subquery
from django.utils.formats import date_format

from planner.errors import PlannerError
from shopapp.common.images import image_bytes
from shopapp.common.tasks import task_state
from shopapp.lumber.models import ColourPhoto, WoodColour, WoodOnHand
from shopapp.workshop.models import Finish

from . import planning

# How wide the photo is where a browser runs no script: as it is tapped there, so it is sent.
TAPPED_WIDTH = 280
# A piece's or finish's name that is longer did not come from our forms.
LONGEST_NAME = 80


State = WoodColour.State


@dataclass(frozen=True)
class KeptColour:
    """A sample with its plank; ``now`` says in words whether the wood is shown like it."""

    colour: WoodColour
    plank: str
    now: str = ""


def kept_colours(row: WoodOnHand) -> list[KeptColour]:
    """Every sample of the wood, the newest day first. One query."""
    rows = list(row.colours.select_related("photo", "taken_by"))
    now = {
        next((one.pk for one in rows if one.state == state and one.stands_for_wood), 0): words
        for state, words in ((State.OILED, "shown now"), (State.DRY, "shown now where it is dry"))
    }
    return [KeptColour(one, planning.plank_in(row, one.rgb, mark=False), now.get(one.pk, "")) for one in rows]


def newest_in(row: WoodOnHand, state: str) -> WoodColour | None:
    """The sample the wood is shown in, oiled or dry. One query."""
    return row.colours.filter(state=state, stands_for_wood=True).first()


def colour_note(row: WoodOnHand) -> str:
    """In a sentence, where the colour the wood is shown in comes from. One query, none for a stand-in."""
    if row.colour_is_stand_in:
        return "Its colour on screen is a stand-in, not measured."
    newest = newest_in(row, State.OILED)
    if newest is None:
        return "Its colour on screen was set by eye."
    day = date_format(newest.seen_on, "j M Y")
    if newest.photo_id:
        return f"Its colour on screen is that of {newest.piece or 'an oiled piece'} in a photo of {day}."
    return f"Its colour on screen was set by eye on {day}."


@dataclass(frozen=True)
class LooksNow:
    """The wood as it is drawn: oiled, and dry where a sample of that was kept."""

    oiled: str
    dry: str


def looks_now(row: WoodOnHand, kept: Iterable[KeptColour]) -> LooksNow:
    """No query."""
    dry = next((one.colour.rgb for one in kept if one.now and one.colour.state == State.DRY), "")
    return LooksNow(planning.plank_in(row, row.finished_rgb), planning.plank_in(row, dry) if dry else "")


def kept_in_words(colour: WoodColour) -> str:
    """What is said once a colour was kept. One query."""
    name, state, newest = colour.wood.name, colour.state, newest_in(colour.wood, colour.state)
    if newest != colour:
        day = date_format(colour.seen_on, "j M Y")
        return f"Kept as of {day}, {colour.rgb}. {name} is shown {state} as before."
    if not colour.photo_id:
        return f"{name} is now shown {state} in {colour.rgb}, set by eye."
    if state == State.DRY:
        return f"{name} is now shown in the colour of your piece where it is dry, {colour.rgb}."
    return f"{name} now has the colour of your oiled piece, {colour.rgb}."


def finishes_named() -> list[str]:
    """What the finishes of the shop are called. One query."""
    return list(Finish.objects.filter(kept=True).order_by("name").values_list("name", flat=True))


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
    """The colour at the places tapped beside the one the wood has, as ``now_is`` says; or in words why there is
    none."""

    rgb: str = ""
    plank: str = ""
    now: str = ""
    now_is: str = ""
    remarks: tuple[str, ...] = ()
    trouble: str = ""


def swatch_of(
    row: WoodOnHand, photo: ColourPhoto, card: str, places: Mapping[str, tuple[int, int]], state: str = State.OILED
) -> Swatch:
    """One query where the sample is dry, none else."""
    try:
        found = planning.wood_colour(image_bytes(photo.shown), places["card"], places["wood"], card)
    except PlannerError as error:
        return Swatch(trouble=str(error))
    rgb = planning.hex_of(found.rgb)
    now, now_is = row.finished_rgb, "Stand-in now" if row.colour_is_stand_in else "Shown now"
    if state == State.DRY:
        dry = newest_in(row, State.DRY)
        now, now_is = (dry.rgb, "Shown now where dry") if dry else (now, "Oiled, for comparison")
    return Swatch(rgb, planning.plank_in(row, rgb), planning.plank_in(row, now), now_is, found.warnings)


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
    return {**found, **same_piece(query)}


def same_piece(query: Mapping[str, str]) -> dict[str, str]:
    """What an address says of the piece that is photographed once more."""
    found = {name: query.get(name, "") for name in ("piece", "finish")}
    held = {name: text for name, text in found.items() if text.isprintable() and 0 < len(text) <= LONGEST_NAME}
    return held | ({"state": query["state"]} if query.get("state") in State.values else {})


def pieces_named(row: WoodOnHand) -> list[str]:
    """What the wood's pieces are called, for whoever photographs one again. One query."""
    return list(row.colours.exclude(piece="").order_by("piece").values_list("piece", flat=True).distinct())


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 6 else None


def photos_awaited() -> set[str]:
    """Names of the uploads that wait for their copy."""
    return set(ColourPhoto.objects.exclude(incoming="").values_list("incoming", flat=True))


def tones_of(wood_ids: Iterable[str | None]) -> dict[str, tuple[str, str | None]]:
    """For each wood how it looks oiled, and how it looks dry where a dry sample was kept, as six digits after a #. A
    wood that was never on hand has the stand-in of the table; what is no wood of the table is left out. One query."""
    wanted = {wood_id for wood_id in wood_ids if wood_id}
    rows = WoodOnHand.objects.filter(wood__in=wanted).annotate(dry=_newest(State.DRY))
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
    rows = WoodOnHand.objects.annotate(newest=_newest(State.OILED)).exclude(newest=None)
    return [
        f"{row.name} is shown as {row.finished_rgb}, but the newest colour it was given is {row.newest}."
        for row in rows
        if row.newest.lower() != row.finished_rgb.lower()
    ]
