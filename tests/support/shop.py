"""A small shop to test in: woods on hand, a design with a kept pattern, a board to ask for."""

from __future__ import annotations

import io
import secrets
from decimal import Decimal
from fractions import Fraction

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from planner.measures import Length
from shopapp.common.images import image_bytes
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.woods.actions import keep_pattern
from shopapp.designs.woods.planning import StoredGrid
from shopapp.designs.woods.readers import wood_choices
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import MARKS, WOODS

INKS = {"k": (40, 30, 25), "r": (170, 60, 30), "y": (230, 200, 140)}
FLAG = """
......
.kkkk.
.kyyk.
.kryk.
.kkkk.
......
"""


def add_woods(*ids: str) -> None:
    """Woods on hand at 10.00 a board foot, 5/4 by 150 mm; those that are there already stay as they are."""
    there = set(WoodOnHand.objects.values_list("wood", flat=True))
    for wood_id, mark in zip(ids, MARKS, strict=False):
        if wood_id in there:
            continue
        wood = WOODS[wood_id]
        WoodOnHand.objects.create(
            wood=wood_id,
            name=wood.name,
            price=Decimal(10),
            per="bf",
            rough_thickness=Length.of_inches("5/4"),
            rough_width=Length.of_mm(150),
            finished_rgb="#{:02x}{:02x}{:02x}".format(*wood.finished_rgb),
            mark=mark,
        )


def picture(drawing: str = FLAG, scale: int = 4, inks=INKS) -> bytes:
    """A drawing of letters as a PNG, a full stop for a transparent cell."""
    rows = drawing.split()
    image = Image.new("RGBA", (len(rows[0]), len(rows)))
    for y, row in enumerate(rows):
        for x, letter in enumerate(row):
            if letter != ".":
                image.putpixel((x, y), (*inks[letter], 255))
    buffer = io.BytesIO()
    image.resize((image.width * scale, image.height * scale), Image.Resampling.NEAREST).save(buffer, "PNG")
    return buffer.getvalue()


def upload(data: bytes, name: str = "flag.png") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, content_type="image/png")


def design_with_pattern(owner, drawing: str = FLAG, name: str = "Flag"):
    """A design read from ``drawing`` with the suggested woods kept."""
    design = bring_picture(who=owner, name=name, upload=upload(picture(drawing)))
    run_waiting_tasks()
    design.refresh_from_db()
    choices = wood_choices(design)
    keep_pattern(who=owner, design=design, choices=choices.suggestion, margin=0, grid_png=choices.grid_png)
    return design


def typed_woods(design, woods, **changes) -> dict[str, str]:
    """The page of a design's woods as it is sent: a wood for each colour, most worn first, and a key of its own."""
    names = StoredGrid(image_bytes(design.grid)).names
    return {
        **{f"wood_{name}": wood for name, wood in zip(names, woods, strict=True)},
        "within": "0",
        "margin": "0",
        "form_key": secrets.token_urlsafe(24),
        **changes,
    }


def board(**changes) -> dict:
    """A board as a form's cleaned data."""
    return {
        "use": "wall",
        "pitch": Length.of_mm(17),
        "thickness": Length.of_mm(20),
        "side_border": Length.of_mm(51),
        "end_border": Length.of_mm(34),
        "border_wood": "sycamore",
        "method": "runs",
        "quantity": 1,
        "margin": Fraction(1, 5),
        **changes,
    }


def typed_board(**changes) -> dict[str, str]:
    """A board as somebody types it."""
    return {
        "use": "wall",
        "pitch": "17",
        "thickness": "20",
        "side_border": "51",
        "end_border": "34",
        "border_wood": "sycamore",
        "method": "runs",
        "quantity": "1",
        "margin": "20",
        **changes,
    }
