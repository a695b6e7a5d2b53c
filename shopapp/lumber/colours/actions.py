"""A photo brought for a wood's colour, copied by the worker, and the sample kept from it; and colours set by eye."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.timezone import localdate

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.images import drop_incoming, image_bytes, incoming_bytes, kept_upload, store_image
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.lumber.models import ColourPhoto, WoodColour, WoodOnHand
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import planning
from .readers import newest_in

State = WoodColour.State
# Nobody photographed a piece with a camera of pixels before; an older day is a slip of the hand.
FIRST_DAY = date(1990, 1, 1)


@dataclass(frozen=True)
class SampleFacts:
    """What the maker says of a sample: oiled or dry, what the piece is called, what the finish on it is called, the
    day of the photo, and whether the wood is shown like it from that day on."""

    state: str = State.OILED
    piece: str = ""
    finish: str = ""
    seen_on: date = field(default_factory=localdate)
    stands_for_wood: bool = True


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
    facts: SampleFacts | None = None,
    spend: Callable[[], None] = lambda: None,
) -> WoodColour:
    """Keep the colour the wood has in the photo at ``places["wood"]``, with the card at ``places["card"]``, as a
    sample. Without ``facts`` it is of an oiled piece without a name, photographed today.

    Raises PlannerError in words when the places tell no colour or the facts cannot be, EditConflict when somebody
    else changed the wood.
    """
    owner_only(who)
    facts = facts or SampleFacts()
    _can_be(facts)
    # Before the transaction: nothing waits for a picture to be decoded.
    found = planning.wood_colour(image_bytes(photo.shown), places["card"], places["wood"], card)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        before = "a stand-in" if row.colour_is_stand_in else row.finished_rgb
        colour = WoodColour.objects.create(
            wood=row,
            rgb=planning.hex_of(found.rgb),
            state=facts.state,
            piece=_as_called_before(row, facts.piece),
            finish=facts.finish,
            seen_on=facts.seen_on,
            stands_for_wood=facts.stands_for_wood,
            taken_by=who,
            photo=photo.shown,
            card=card,
            places=dict(places),
            remarks=list(found.warnings),
        )
        shown = _show_newest(row) == colour
        bump_version(row)
        write_audit(who, _told(colour, before if shown else ""), row)
    return colour


def _can_be(facts: SampleFacts) -> None:
    if facts.seen_on > localdate():
        raise PlannerError("That day is still to come.", mend="Write the day of the photo.", field="seen_on")
    if facts.seen_on < FIRST_DAY:
        raise PlannerError("That day is too long ago for a photo.", mend="Look at its year.", field="seen_on")
    if facts.state == State.DRY and facts.finish:
        raise PlannerError(
            "A dry piece has no finish on it.", mend="Take the finish out, or say that it is oiled.", field="finish"
        )


def _as_called_before(row: WoodOnHand, piece: str) -> str:
    """A piece's name as it was first written, so that its samples are found together."""
    name = " ".join(piece.split())
    earlier = row.colours.filter(piece__iexact=name).order_by("pk").values_list("piece", flat=True)
    return earlier.first() or name


def _told(colour: WoodColour, before: str) -> str:
    """``before`` is what the wood was shown in until now, empty where it is still."""
    row, of = colour.wood, f" of {colour.piece}" if colour.piece else ""
    if before:
        return f"{row.name}: colour when oiled taken from a photo{of}, {before} to {colour.rgb}."
    return f"{row.name}: a sample{of}, {colour.state}, taken from a photo, {colour.rgb}."


def set_by_eye(
    *, who: Member, row: WoodOnHand, state: str, rgb: str, seen_version: int, spend: Callable[[], None] = lambda: None
) -> WoodColour:
    """Give the wood a colour that was set by eye, oiled or dry. Raises EditConflict when somebody else changed the
    wood."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        colour = note_colour(row, who=who, rgb=rgb, state=state)
        bump_version(row)
        write_audit(who, f"{row.name}: colour when {colour.state} set by eye, {colour.rgb}.", row)
    return colour


def note_colour(row: WoodOnHand, *, who: Member | None, rgb: str, state: str = State.OILED) -> WoodColour:
    """Write down a colour set by eye as the newest of its state; within the transaction that gave it."""
    colour = WoodColour.objects.create(wood=row, rgb=rgb, state=state, taken_by=who)
    _show_newest(row)
    return colour


def _show_newest(row: WoodOnHand) -> WoodColour | None:
    """Show the wood in the newest of its oiled colours; where there is none it is shown as it was."""
    newest = newest_in(row, State.OILED)
    if newest is not None:
        row.finished_rgb, row.colour_is_stand_in = newest.rgb, False
        row.save()
    return newest
