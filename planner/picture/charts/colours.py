"""The colours of a chart's cells: read inside the lines, with uneven light and a cast taken out, drift cleaned away."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.frame import Frame
from planner.picture.charts.light import light_over
from planner.picture.charts.sampling import Floats, Sampler
from planner.picture.charts.segments import Sheet, inner_pixels, mean_pitch

# Places looked at along a cell's inner half, for the smallest cells and for the largest.
_LEAST_PLACES, _MOST_PLACES = 3, 7
# Cells beside the frame, so many wide, are paper where half of them or more come within these levels of one colour.
_BESIDE, _PAPER_LEVELS = 2, 14.0
# Paper at least so light, with its weakest channel at least this part of its strongest, is white paper under a cast;
# other paper is coloured and stays so.
_WHITE_FROM, _WHITE_PART = 150.0, 0.85
# What such paper is brought to: as light as paper on a screen mostly is, with room above for what is lighter.
_WHITE, _LIGHTEST = 250.0, 258.0


def inner_medians(
    picture: Sampler, to_pixels: Floats, left: int, top: int, rows: int, columns: int
) -> NDArray[np.float32]:
    """The median colour of the inner half of each cell: a sign or numeral printed in it, a gleam or a speck of less
    than half of that does not count."""
    pitch = mean_pitch(to_pixels, left + columns / 2, top + rows / 2)
    places = int(np.clip(round(0.5 * pitch), _LEAST_PLACES, _MOST_PLACES))
    seen = inner_pixels(picture, to_pixels, left, top, rows, columns, places)
    return np.asarray(np.median(seen.astype(np.float32), axis=2), dtype=np.float32)


def colours_of(
    cells: NDArray[np.float32], sheet: Sheet, frame: Frame
) -> tuple[NDArray[np.uint8], NDArray[np.uint8] | None]:
    """The cells' colours as they would be in even light, and the paper's where it is seen beside the frame."""
    colours: Floats = np.asarray(cells, dtype=np.float64)
    light = light_over(colours)
    if light is not None:
        colours = colours / light[:, :, None]
    paper = _paper(sheet, frame, light)
    if light is not None and paper is not None:
        # Only light that is seen to be uneven tells that this is a photograph, whose cast may be taken out.
        gain = _gain(paper, colours)
        colours, paper = colours * gain, paper * gain
    colours = cleaned(colours)
    return _bytes(colours), None if paper is None else _bytes(paper)


def _bytes(colours: Floats) -> NDArray[np.uint8]:
    return np.clip(np.rint(colours), 0, 255).astype(np.uint8)


def _paper(sheet: Sheet, frame: Frame, light: Floats | None) -> Floats | None:
    rows, columns = sheet.cells.shape[:2]
    row, column = np.mgrid[0:rows, 0:columns]
    in_frame = (row >= frame.top) & (row < frame.bottom) & (column >= frame.left) & (column < frame.right)
    beside = (
        (row >= frame.top - _BESIDE)
        & (row < frame.bottom + _BESIDE)
        & (column >= frame.left - _BESIDE)
        & (column < frame.right + _BESIDE)
    )
    ring = beside & ~in_frame & sheet.inside
    if ring.sum() < frame.rows + frame.columns:
        return None
    seen = sheet.cells[ring].astype(np.float64)
    if light is not None:
        # Beside the frame the light is that of the nearest cell inside.
        nearest_row = np.clip(row[ring] - frame.top, 0, frame.rows - 1)
        nearest_column = np.clip(column[ring] - frame.left, 0, frame.columns - 1)
        seen = seen / light[nearest_row, nearest_column][:, None]
    paper = np.median(seen, axis=0)
    share = float((np.abs(seen - paper).max(axis=1) <= _PAPER_LEVELS).mean())
    return np.asarray(paper) if share >= 0.5 else None


def _gain(paper: Floats, colours: Floats) -> Floats:
    """What brings white paper under a cast to white; 1 for any other paper."""
    if paper.max() < _WHITE_FROM or paper.min() < _WHITE_PART * paper.max():
        return np.ones(3)
    gain = _WHITE / paper
    # White paper is the lightest there is: where cells would be made lighter than white, it was coloured paper.
    lightest = float(np.quantile((colours * gain).max(axis=2), 0.995))
    return np.asarray(gain) if lightest <= _LIGHTEST else np.ones(3)
