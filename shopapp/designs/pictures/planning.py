"""The door to the planner for pictures: file bytes to clean copies and the grid that was read."""

from __future__ import annotations

import io
from dataclasses import asdict, dataclass

import numpy as np
from PIL import Image

from planner.picture import PictureError, PictureGrid, Proposal, Reading, clean_copy, read_picture

# The longest side of the copy that pages show; a phone's photo is three times as long.
LARGEST_SHOWN = 1600


@dataclass(frozen=True)
class ReadPicture:
    """What the worker brings back from a picture: clean PNGs of it, of a smaller copy for pages where it is large,
    and of the grid, if there is one; what was seen; and in words why there is no grid."""

    original_png: bytes
    shown_png: bytes
    grid_png: bytes
    seen: dict[str, object]
    no_grid: str = ""


def read(data: bytes) -> ReadPicture:
    """The worker's step: decode within limits and read the grid. Raises PlannerError in plain words where there is
    nothing to be made of the file; a picture without a grid in it can still be reduced to one."""
    original = clean_copy(data)
    try:
        reading = read_picture(data)
    except PictureError as error:
        width, height, flat = _size_and_flatness(original)
        if flat:
            raise
        seen = {"width_px": width, "height_px": height, "seen": []}
        return ReadPicture(original, _shown(original), b"", seen, str(error))
    return ReadPicture(original, _shown(original), grid_png(reading.grid), _record(reading))


def _size_and_flatness(png: bytes) -> tuple[int, int, bool]:
    """Width and height of one of our own PNGs, and whether it is of one colour all over."""
    with Image.open(io.BytesIO(png)) as image:
        return image.width, image.height, all(low == high for low, high in image.getextrema())


def _record(reading: Reading) -> dict[str, object]:
    return {
        "kind": reading.kind,
        "scale": reading.scale,
        "width_px": reading.width_px,
        "height_px": reading.height_px,
        "rows": reading.grid.rows,
        "columns": reading.grid.columns,
        "seen": list(reading.seen),
        "lattice": reading.lattice.as_record(),
        "sure": reading.sure,
        "pitch": reading.pitch,
        "turn": reading.turn,
        "lines": reading.lines,
        "others": [_proposal(other) for other in reading.others],
    }


def _proposal(other: Proposal) -> dict[str, object]:
    return {
        "kind": other.kind,
        "rows": other.grid.rows,
        "columns": other.grid.columns,
        "lattice": other.lattice.as_record(),
        "differs": other.differs,
        "sides": asdict(other.sides) if other.sides else None,
    }


def grid_png(grid: PictureGrid) -> bytes:
    """One pixel a cell; a cell set aside as background keeps its colour and is fully transparent."""
    alpha = np.where(grid.filled, 255, 0).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(np.dstack([grid.rgb, alpha]), "RGBA").save(buffer, "PNG")
    return buffer.getvalue()


def _shown(png: bytes) -> bytes:
    """A smaller copy of one of our own PNGs, or nothing where the picture is small enough for a page itself."""
    with Image.open(io.BytesIO(png)) as image:
        longest = max(image.size)
        if longest <= LARGEST_SHOWN:
            return b""
        size = tuple(max(1, round(side * LARGEST_SHOWN / longest)) for side in image.size)
        buffer = io.BytesIO()
        image.resize(size, Image.Resampling.BOX).save(buffer, "PNG", compress_level=2)
    return buffer.getvalue()
