"""Samples of two woods at Reedbank Workshop: dry, oiled, and once more after a summer on the window sill. Colours, days
and the photos they are taken from are invented and drawn here."""

from __future__ import annotations

import io
from datetime import timedelta

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.colours.actions import SampleFacts, bring_photo, keep_colour
from shopapp.lumber.models import WoodColour, WoodOnHand
from shopapp.people.models import Member
from shopapp.workshop.models import Finish

State = WoodColour.State
# Wood, what the piece is called, and its samples: state, days ago, colour in daylight, the wood shown like it. A piece
# that has aged on the sill is kept, but boards leave the shop fresh.
SAMPLES = (
    (
        "walnut-black",
        "offcut on the window sill",
        (
            (State.DRY, 214, (136, 108, 88), True),
            (State.OILED, 212, (84, 58, 43), True),
            (State.OILED, 23, (104, 75, 52), False),
        ),
    ),
    (
        "padauk",
        "end of the first board",
        (
            (State.DRY, 214, (205, 90, 52), True),
            (State.OILED, 212, (180, 58, 26), True),
            (State.OILED, 23, (132, 56, 35), False),
        ),
    ),
)
# How much of each channel of daylight fell on card and wood that day, and how much of it a white card sends back.
LIGHTS = {214: (0.92, 0.88, 0.80), 212: (0.86, 0.84, 0.80), 23: (0.90, 0.80, 0.66)}
WHITE = 0.90
SIZE = (480, 640)
PLACES = {"card": (130, 240), "wood": (430, 240)}


def fill_colours(who: Member) -> None:
    finish = Finish.objects.filter(kept=True).order_by("name").first()
    today = timezone.localdate()
    for wood_id, piece, samples in SAMPLES:
        for number, (state, days, rgb, stands) in enumerate(samples):
            row = WoodOnHand.objects.get(wood=wood_id)
            upload = SimpleUploadedFile(f"{wood_id}-{number}.png", photo_of(rgb, LIGHTS[days], seed=days + number))
            photo = bring_photo(who=who, row=row, upload=upload)
            run_waiting_tasks()
            photo.refresh_from_db()
            facts = SampleFacts(
                state=state,
                piece=piece,
                finish=finish.name if finish and state == State.OILED else "",
                seen_on=today - timedelta(days=days),
                stands_for_wood=stands,
            )
            keep_colour(
                who=who,
                row=row,
                photo=photo,
                card=WoodColour.Card.WHITE,
                places=PLACES,
                seen_version=row.edit_version,
                facts=facts,
            )


def photo_of(rgb: tuple[int, int, int], light: tuple[float, float, float], *, seed: int) -> bytes:
    """A drawn photo: a white card at the left and a plank at the right on a grey bench, all in that light."""
    draw = np.random.default_rng(seed)
    rows, columns = SIZE
    scene = np.full((rows, columns, 3), 0.13) + 0.02 * draw.standard_normal((rows, columns, 1))
    scene[60:420, 40:220] = WHITE
    # Grain along the plank: lines that wander a little, lighter and darker about the wood's own colour.
    y, x = np.mgrid[0:400, 0:330]
    across = x + 9 * np.sin(y / 90 + draw.uniform(0, 6)) + 4 * np.sin(y / 31 + draw.uniform(0, 6))
    lines = sum(np.sin(across / wide + draw.uniform(0, 6)) for wide in (2.1, 3.7, 7.3)) / 3
    grain = 1 + 0.10 * lines + 0.05 * draw.standard_normal((400, 330))
    scene[40:440, 270:600] = _light(np.array(rgb) / 255) * grain[..., None]
    scene = np.clip(scene, 0, 1) * np.array(light)
    file = io.BytesIO()
    Image.fromarray(np.rint(_encoded(scene) * 255).astype(np.uint8)).save(file, "PNG")
    return file.getvalue()


def _light(encoded: np.ndarray) -> np.ndarray:
    """sRGB of 0 to 1 as light (IEC 61966-2-1)."""
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def _encoded(light: np.ndarray) -> np.ndarray:
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
