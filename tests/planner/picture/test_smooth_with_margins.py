"""What a browser blurred in one step from one pixel a cell is read wherever its cells begin."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture

PAGE = (244, 236, 217)
COLOURS = np.array([PAGE, (38, 33, 110), (150, 101, 57), (214, 17, 64), (160, 134, 96)], dtype=np.uint8)


def figure(rows: int, columns: int, seed: int) -> np.ndarray:
    """Cells of several colours in a ring of page."""
    rng = np.random.default_rng(seed)
    cells = rng.choice(len(COLOURS), size=(rows, columns), p=[0.2, 0.3, 0.2, 0.15, 0.15])
    cells[[0, -1]] = 0
    cells[:, [0, -1]] = 0
    return COLOURS[cells]


def blurred(cells: np.ndarray, pitch: float, how: Image.Resampling, margins: tuple[int, int, int, int]) -> bytes:
    """Drawn up in one step, then laid on a page with so many pixels around it: left, top, right, bottom."""
    size = round(cells.shape[1] * pitch), round(cells.shape[0] * pitch)
    drawn = Image.fromarray(cells).resize(size, how)
    left, top, right, bottom = margins
    page = Image.new("RGB", (size[0] + left + right, size[1] + top + bottom), PAGE)
    page.paste(drawn, (left, top))
    out = io.BytesIO()
    page.save(out, "PNG")
    return out.getvalue()


def box_of(filled: np.ndarray) -> tuple[slice, slice]:
    rows, columns = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    return slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)


@pytest.mark.parametrize("how", [Image.Resampling.BILINEAR, Image.Resampling.BICUBIC])
@pytest.mark.parametrize(
    ("pitch", "margins"), [(9.28, (4, 7, 1, 3)), (15, (8, 5, 2, 11)), (6.5, (2, 3, 3, 1)), (11, (0, 6, 3, 0))]
)
def test_a_blurred_picture_is_read_wherever_its_cells_begin(how, pitch, margins):
    cells = figure(16, 14, seed=round(pitch))
    grid = read_picture(blurred(cells, pitch, how, margins)).grid
    wanted = (cells != PAGE).any(axis=2)
    found, drawn = box_of(grid.filled), box_of(wanted)
    assert grid.filled[found].shape == wanted[drawn].shape
    near = np.abs(grid.rgb[found].astype(int) - cells[drawn].astype(int)).max(axis=2) <= 12
    assert (near | ~wanted[drawn]).mean() >= 0.99


@pytest.mark.parametrize("how", [Image.Resampling.BILINEAR, Image.Resampling.BICUBIC])
@pytest.mark.parametrize(("pitch", "margins"), [(9, (4, 7, 13, 3)), (12, (8, 5, 2, 11)), (6.5, (20, 3, 3, 1))])
def test_a_blurred_picture_drawn_to_its_own_edges_ends_where_its_page_begins(how, pitch, margins):
    cells = figure(18, 16, seed=round(pitch))[1:-1, 1:-1]
    grid = read_picture(blurred(cells, pitch, how, margins)).grid
    assert grid.filled.shape == cells.shape[:2]
    near = np.abs(grid.rgb.astype(int) - cells.astype(int)).max(axis=2) <= 12
    assert (near | ~grid.filled).mean() >= 0.99


def test_strokes_two_cells_wide_in_a_blurred_drawing_are_not_taken_for_its_cells():
    rng = np.random.default_rng(4)
    cells = COLOURS[rng.integers(0, len(COLOURS), (11, 11))].repeat(2, axis=0).repeat(2, axis=1)
    cells[[4, 9, 14], [7, 12, 5]] = (240, 170, 240)
    grid = read_picture(blurred(cells, 5, Image.Resampling.BILINEAR, (0, 0, 0, 0))).grid
    assert grid.rgb.shape == cells.shape
    assert (np.abs(grid.rgb.astype(int) - cells).max(axis=2) <= 4).mean() >= 0.99
