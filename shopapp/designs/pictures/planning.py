"""The door to the planner for pictures: file bytes to clean copies and the grid that was read."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image

from planner.picture import PictureGrid, clean_copy, read_picture


@dataclass(frozen=True)
class ReadPicture:
    """What the worker brings back from a picture: two clean PNGs and what was seen."""

    original_png: bytes
    grid_png: bytes
    seen: dict[str, object]


def read(data: bytes) -> ReadPicture:
    """The worker's step: decode within limits and read the grid. Raises PlannerError in plain words."""
    original = clean_copy(data)
    reading = read_picture(data)
    seen = {
        "kind": reading.kind,
        "scale": reading.scale,
        "width_px": reading.width_px,
        "height_px": reading.height_px,
        "rows": reading.grid.rows,
        "columns": reading.grid.columns,
        "seen": list(reading.seen),
    }
    return ReadPicture(original, _grid_png(reading.grid), seen)


def _grid_png(grid: PictureGrid) -> bytes:
    """One pixel a cell; a cell set aside as background keeps its colour and is fully transparent."""
    alpha = np.where(grid.filled, 255, 0).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(np.dstack([grid.rgb, alpha]), "RGBA").save(buffer, "PNG")
    return buffer.getvalue()
