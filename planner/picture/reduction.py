"""An ordinary picture or drawing reduced to a grid of the maker's choosing, in few colours.

The picture is first averaged to a few samples a cell. A cell on an edge takes the colour of the side that has more of
it, never the mixture; a stroke or a dot finer than a cell gets cells of its own (``features``); smooth parts take their
mean. The colours are then brought to few in OKLab (``palette``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture.colour import oklab_to_srgb, srgb_to_oklab
from planner.picture.decode import MAX_CLEAN_BYTES, PictureError, decode, too_much_memory
from planner.picture.features import Features, fine_features
from planner.picture.grid import PictureGrid
from planner.picture.palette import few_colours, smoothed
from planner.picture.paper import paper_around

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_COLOURS = 64
# Samples in all, and across a cell: enough to tell a quarter of a cell, few enough for a live preview.
_SAMPLES = 150_000
_STEP_LEAST, _STEP_MOST = 3, 8
# How far apart two sides of an edge are at the least, in OKLab, where black to white measures 1; common practice, no
# source, settled by trial on drawn scenes.
_EDGE = 0.06
# From this share of a cell on, features that others show leave too little of it to go by.
_FULL = 0.7


@dataclass(frozen=True, slots=True)
class Crop:
    """The part of the upright picture to use, in pixels from its top left corner."""

    left: int
    top: int
    width: int
    height: int


def reduce_picture(data: bytes, crop: Crop | None, rows: int, columns: int, colours: int) -> PictureGrid:
    """The picture, or the part of it in ``crop``, as ``rows`` × ``columns`` cells of at most ``colours`` colours.

    Transparent parts, or else flat paper around the drawing, come out as background. Raises PictureError when the file
    is no picture, the part lies outside of it, or rows (1 to 200), columns (1 to 200) or colours (1 to 64) are more or
    fewer than may be; ``field`` names which. Equal input gives equal output.
    """
    _check(rows, columns, colours)
    try:
        return _reduced(_cut_out(decode(data, MAX_CLEAN_BYTES).image, crop), rows, columns, colours)
    except MemoryError as error:
        raise too_much_memory() from error


def _check(rows: int, columns: int, colours: int) -> None:
    for field, words, asked in (("rows", "high", rows), ("columns", "wide", columns)):
        if not 1 <= asked <= LARGEST_SIDE:
            raise PictureError(
                f"The grid would be {asked} cells {words}.", mend=f"Choose 1 to {LARGEST_SIDE}.", field=field
            )
    if rows * columns == 1:
        raise PictureError("The grid would be a single cell.", mend="Choose more rows or columns.", field="rows")
    if not 1 <= colours <= MOST_COLOURS:
        raise PictureError(
            f"The picture would have {colours} colours.", mend=f"Choose 1 to {MOST_COLOURS}.", field="colours"
        )


def _cut_out(image: Image.Image, crop: Crop | None) -> Image.Image:
    if crop is None:
        return image
    right, bottom = crop.left + crop.width, crop.top + crop.height
    if crop.width < 1 or crop.height < 1:
        raise PictureError(
            f"The part of the picture to use is {crop.width} pixels wide and {crop.height} high.",
            mend="Choose a part at least one pixel wide and high.",
            field="crop",
        )
    if crop.left < 0 or crop.top < 0 or right > image.width or bottom > image.height:
        raise PictureError(
            f"The part to use runs from {crop.left} to {right} pixels across and from {crop.top} to {bottom} down, "
            f"but the picture is {image.width} pixels wide and {image.height} high.",
            mend="Choose a part that lies within it.",
            field="crop",
        )
    return image.crop((crop.left, crop.top, right, bottom))


def _reduced(image: Image.Image, rows: int, columns: int, colours: int) -> PictureGrid:
    step = int(min(max(np.sqrt(_SAMPLES / (rows * columns)), _STEP_LEAST), _STEP_MOST))
    samples, cover = _samples(image, rows * step, columns * step)
    lab = srgb_to_oklab(samples)
    seen = cover >= 0.5
    features = _features(lab, cover, rows, columns)
    cells = _cell_colours(lab, seen, features, rows, columns)
    filled = _filled(cells, seen, cover, features, rows, columns)
    if not filled.any():
        raise PictureError("There is nothing in the picture but background.", mend="Bring one with something drawn.")
    centres = few_colours(cells[filled], colours)
    labels = smoothed(cells, centres, filled)
    worn = np.where(filled[..., None], centres[np.maximum(labels, 0)], cells)
    if not filled.all():
        worn[~filled] = cells[~filled].mean(axis=0)
    return PictureGrid(np.rint(oklab_to_srgb(worn)).astype(np.uint8), filled)


def _samples(image: Image.Image, height: int, width: int) -> tuple[NDArray[np.uint8], Floats]:
    """Means over equal parts of the picture, and how much of each is not transparent."""
    if image.getchannel("A").getextrema()[0] == 255:
        rgb = np.asarray(image.convert("RGB").resize((width, height), Image.Resampling.BOX))
        return rgb, np.ones((height, width))
    # Colours count by their cover: what is transparent lends nothing of the colour kept beneath it.
    rgba = np.asarray(image.convert("RGBa").resize((width, height), Image.Resampling.BOX).convert("RGBA"))
    return rgba[..., :3], rgba[..., 3] / 255


def _features(lab: Floats, cover: Floats, rows: int, columns: int) -> Features:
    planes = lab
    if cover.min() < 1:
        # Under what is transparent the colour is that of the drawing's mean, so that only cover stands out there.
        solid = cover >= 0.5
        mean = lab[solid].mean(axis=0) if solid.any() else np.zeros(3)
        planes = np.dstack([np.where(solid[..., None], lab, mean), cover])
    return fine_features(planes.astype(np.float32), rows, columns)


def _by_cell(samples: NDArray[np.generic], rows: int, columns: int) -> NDArray[np.generic]:
    """rows·columns × samples of a cell (× channels)."""
    height, width = samples.shape[0] // rows, samples.shape[1] // columns
    blocks = samples.reshape(rows, height, columns, width, -1).swapaxes(1, 2)
    return blocks.reshape(rows * columns, height * width, -1)


def _cell_colours(lab: Floats, seen: Mask, features: Features, rows: int, columns: int) -> Floats:
    colours = np.asarray(_by_cell(lab, rows, columns), dtype=np.float64)
    fine, shown, solid = (
        _by_cell(samples, rows, columns)[..., 0].astype(np.bool_) for samples in (features.fine, features.shown, seen)
    )
    weights = (np.where(features.chosen.ravel()[:, None], shown, ~fine) & solid).astype(np.float64)
    # What little is left of a cell between features tells of nothing but their blurred rims: such a cell goes by all
    # that is in it, as one with nothing left does.
    full = ~features.chosen.ravel() & (fine.mean(axis=1) >= _FULL)
    weights[full] = solid[full]
    empty = weights.sum(axis=1) == 0
    weights[empty] = np.where(solid[empty].any(axis=1)[:, None], solid[empty], True)
    return _of_the_larger_side(colours, weights).reshape(rows, columns, 3)


def _of_the_larger_side(colours: Floats, weights: Floats) -> Floats:
    """The mean of each cell or, where an edge runs through it, the colour of the side that has more of the cell; of
    equal sides the darker."""
    chosen = _mean(colours, weights)
    edged = np.flatnonzero((weights * _square(colours, chosen)).max(axis=1) > (_EDGE / 2) ** 2)
    colours, weights = colours[edged], weights[edged]
    one = _farthest(colours, chosen[edged], weights)
    other = _farthest(colours, one, weights)
    nearer = weights
    for _ in range(2):
        nearer = weights * (_square(colours, one) <= _square(colours, other))
        one, other = _mean(colours, nearer, one), _mean(colours, weights - nearer, other)
    share = 2 * nearer.sum(axis=1) - weights.sum(axis=1)
    first = np.where(np.abs(share) < 0.5, one[:, 0] <= other[:, 0], share > 0)
    centre = np.where(first[:, None], one, other)
    # Samples half way across the edge belong to neither side.
    apart = ((one - other) ** 2).sum(axis=1)
    core = weights * (_square(colours, centre) <= apart[:, None] / 9)
    chosen[edged] = np.where((apart >= _EDGE**2)[:, None], _mean(colours, core, centre), chosen[edged])
    return chosen


def _mean(colours: Floats, weights: Floats, otherwise: Floats | None = None) -> Floats:
    total = weights.sum(axis=1)[:, None]
    mean = np.einsum("nsk,ns->nk", colours, weights) / np.maximum(total, 1e-9)
    return mean if otherwise is None else np.where(total > 0, mean, otherwise)


def _square(colours: Floats, centre: Floats) -> Floats:
    gaps = colours - centre[:, None]
    return np.asarray(np.einsum("nsk,nsk->ns", gaps, gaps))


def _farthest(colours: Floats, centre: Floats, weights: Floats) -> Floats:
    at = np.where(weights > 0, _square(colours, centre), -1).argmax(axis=1)
    return np.asarray(colours[np.arange(len(colours)), at])


def _filled(cells: Floats, seen: Mask, cover: Floats, features: Features, rows: int, columns: int) -> Mask:
    if cover.min() < 0.5:
        share = _by_cell(seen, rows, columns)[..., 0].astype(np.float64).mean(axis=1).reshape(rows, columns)
        shown = _by_cell(features.shown & seen, rows, columns)[..., 0].any(axis=1).reshape(rows, columns)
        return np.asarray((share >= 0.5) | (features.chosen & shown))
    return ~paper_around(cells)
