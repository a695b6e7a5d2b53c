"""The colours of a chart's cells: read inside the lines, with uneven light and a cast taken out, drift cleaned away."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.clipping import lifted
from planner.picture.charts.frame import Frame
from planner.picture.charts.light import drift_within_parts, light_over
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
) -> tuple[NDArray[np.uint8], NDArray[np.uint8] | None, float]:
    """The cells' colours as they would be in even light; the paper's where it is seen beside the frame; and by how many
    levels cells of one colour differed."""
    colours: Floats = np.asarray(cells, dtype=np.float64)
    wide, known, inner = _with_what_lies_beside(colours, sheet, frame)
    light = light_over(wide, known)
    if light is not None:
        even = lifted(wide, light, known)
        colours, beside = even[inner], known.copy()
        beside[inner] = False
        paper = _paper(even[beside], frame)
        if paper is not None:
            # Only light that is seen to be uneven tells that this is a photograph, whose cast may be taken out.
            gain = _gain(paper, colours)
            colours, paper = colours * gain, paper * gain
    else:
        beside = known.copy()
        beside[inner] = False
        paper = _paper(wide[beside], frame)
    drift = drift_within_parts(colours)
    return _bytes(cleaned(colours)), None if paper is None else _bytes(paper), drift


def _with_what_lies_beside(
    cells: Floats, sheet: Sheet, frame: Frame
) -> tuple[Floats, NDArray[np.bool_], tuple[slice, slice]]:
    """The cells with those beside the frame around them, which of all lie on the picture, and where the cells are."""
    rows, columns = sheet.cells.shape[:2]
    top, left = max(0, frame.top - _BESIDE), max(0, frame.left - _BESIDE)
    cut = np.s_[top : min(rows, frame.bottom + _BESIDE), left : min(columns, frame.right + _BESIDE)]
    wide, known = sheet.cells[cut].astype(np.float64), sheet.inside[cut].copy()
    inner = np.s_[frame.top - top : frame.bottom - top, frame.left - left : frame.right - left]
    wide[inner], known[inner] = cells, True
    return wide, known, inner


def _bytes(colours: Floats) -> NDArray[np.uint8]:
    return np.clip(np.rint(colours), 0, 255).astype(np.uint8)


def _paper(beside: Floats, frame: Frame) -> Floats | None:
    """The colour of most of the cells beside the frame."""
    if len(beside) < frame.rows + frame.columns:
        return None
    paper = np.median(beside, axis=0)
    share = float((np.abs(beside - paper).max(axis=1) <= _PAPER_LEVELS).mean())
    return np.asarray(paper) if share >= 0.5 else None


def _gain(paper: Floats, colours: Floats) -> Floats:
    """What brings white paper under a cast to white; 1 for any other paper."""
    if paper.max() < _WHITE_FROM or paper.min() < _WHITE_PART * paper.max():
        return np.ones(3)
    gain = _WHITE / paper
    # White paper is the lightest there is: where cells would be made lighter than white, it was coloured paper.
    lightest = float(np.quantile((colours * gain).max(axis=2), 0.995))
    return np.asarray(gain) if lightest <= _LIGHTEST else np.ones(3)
