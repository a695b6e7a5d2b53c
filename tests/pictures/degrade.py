"""Files as makers find them, made from truth pictures by kind of damage and seed; the same seed gives the same bytes.

    from tests.pictures.degrade import KINDS, cases
    for case in cases("chart", "dev", 20):
        read_picture(case.data)          # to be compared with case.rgb, case.filled; see tests.pictures.judge

``case.corners`` are where the cells truly lie, as in ``planner.picture.Lattice.corners``; ``case.how`` says in words
what was done. What is background is settled by one rule, for without it the truth could not be known: transparent
cells are; else the colour that more than half of the edge wears, or a third of it and three of its corners, is,
wherever it is joined to the edge.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.charting import drawn_chart
from tests.pictures.sheets import (
    APART,
    PAPERS,
    Cells,
    Sheet,
    blurred,
    enlarged,
    file_of,
    joined_to_edge,
    jpeg_of,
    laid,
    laid_on_paper,
    lit,
    nearest,
    nearest_colour,
    paper_for,
    pitch_for,
    resampled,
    resized,
    settled,
)
from tests.pictures.truths import Truth, truths
from tests.pictures.warping import Corners, moved, perspective, turned, upright

# The pages that charts are mostly printed on.
PRINTED = ((255, 255, 255), (255, 255, 255), (255, 255, 255), (246, 246, 244), (240, 236, 220), (30, 32, 40))


@dataclass(frozen=True, slots=True)
class Case:
    """A file and what is truly in it: ``rgb`` and ``filled`` of rows × columns cells, and where those lie in pixels.

    ``also`` holds further masks that would be as right, where nothing in the file could settle it."""

    kind: str
    name: str
    seed: int
    data: bytes
    rgb: Cells
    filled: NDArray[np.bool_]
    corners: Corners
    how: str
    also: tuple[NDArray[np.bool_], ...] = ()

    @property
    def rows(self) -> int:
        return int(self.filled.shape[0])

    @property
    def columns(self) -> int:
        return int(self.filled.shape[1])


def cases(kind: str, part: str, count: int, seed: int = 1) -> Iterator[Case]:
    """``count`` cases of a kind from the pictures of ``part`` ("dev" or "held"), spread evenly over them."""
    pictures = [truth for truth in truths(part) if kind in LOSSLESS or not truth.weak]
    if kind == "gradient":
        pictures = [truth for truth in pictures if truth.clear.any()]
    order = np.random.default_rng([seed, len(kind), sum(map(ord, kind))]).permutation(len(pictures))
    for k in range(count):
        yield case(kind, pictures[order[k % len(pictures)]], seed * 1000 + k)


def case(kind: str, truth: Truth, seed: int) -> Case:
    """One truth picture damaged in one way."""
    rng = np.random.default_rng([seed, sum(map(ord, kind)), sum(map(ord, truth.name))])
    sheet, data = KINDS[kind](truth, rng)
    return Case(
        kind, truth.name, seed, data, sheet.rgb, sheet.filled, sheet.corners, "; ".join(sheet.how), tuple(sheet.also)
    )


Made = tuple[Sheet, bytes]


def native(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = laid(truth, rng)
    return sheet, file_of(sheet, rng)


def integer(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = enlarged(laid(truth, rng), max(2, int(pitch_for(truth, rng, 2))))
    return sheet, file_of(sheet, rng)


def non_integer(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = nearest(laid(truth, rng), pitch_for(truth, rng, 2.2), rng)
    return sheet, file_of(sheet, rng)


def smoothed(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = resampled(laid(truth, rng), pitch_for(truth, rng, 3.5), rng)
    return sheet, file_of(sheet, rng)


def browser(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = blurred(laid(truth, rng), pitch_for(truth, rng, 5), rng)
    return sheet, file_of(sheet, rng)


def _any_scale(truth: Truth, rng: np.random.Generator, least: float) -> Sheet:
    sheet, pitch = laid_on_paper(truth, rng), pitch_for(truth, rng, least)
    how = rng.random()
    if how < 0.45:
        return enlarged(sheet, max(2, round(pitch)))
    return nearest(sheet, pitch, rng) if how < 0.75 else resampled(sheet, pitch, rng)


def jpeg(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = _any_scale(truth, rng, 8)
    # Below half quality, cells smaller than a block of eight pixels lose their colour for good.
    return sheet, jpeg_of(sheet, rng, 30 if sheet.pitch >= 11 else 55)


def uneven_light(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = lit(_any_scale(truth, rng, 5), rng)
    return sheet, file_of(sheet, rng, "PNG") if rng.random() < 0.7 else jpeg_of(sheet, rng, 80)


def _chart(truth: Truth, rng: np.random.Generator, least: float) -> Sheet:
    paper = PRINTED[int(rng.integers(0, len(PRINTED)))] if rng.random() < 0.8 else paper_for(truth, rng)
    if truth.clear.any() and nearest_colour(truth, paper) < APART:
        paper = paper_for(truth, rng)
    cells = laid_on_paper(truth, rng, paper)
    also = []
    if truth.clear.any() and rng.random() < 0.2:
        # The drawing's own ground, printed as cells of another colour than the page: wood or background, who can say.
        cells = laid_on_paper(truth, rng)
        also = [np.ones_like(cells.filled)]
    pitch = max(8.0, pitch_for(truth, rng, least, 34))
    pitch = pitch if rng.random() < 0.25 else float(round(pitch))
    pixels, corners, how = drawn_chart(cells.rgb, paper, pitch, rng)
    return Sheet(pixels, corners, cells.rgb, cells.filled, [*cells.how, f"page {paper}", how], also)


def chart(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = _chart(truth, rng, 9)
    return sheet, file_of(sheet, rng)


def chart_jpeg(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = _chart(truth, rng, 12)
    ratio = max(rng.uniform(0.55, 1.3), 9 / sheet.pitch)
    sheet = resized(sheet, ratio, str(rng.choice(["box", "bilinear", "bicubic", "lanczos"])))
    return sheet, jpeg_of(sheet, rng, 40)


def turned_picture(truth: Truth, rng: np.random.Generator) -> Made:
    paper = paper_for(truth, rng)
    sheet, pitch = laid_on_paper(truth, rng, paper), pitch_for(truth, rng, 6)
    sheet = enlarged(sheet, round(pitch)) if rng.random() < 0.5 else nearest(sheet, pitch, rng)
    degrees = float(rng.uniform(0.3, 2.0) * rng.choice([-1, 1]))
    flat = truth.clear.any()
    fill = paper if flat and rng.random() < 0.6 else PAPERS[int(rng.choice([0, 5]))]
    bicubic = bool(rng.random() < 0.5)
    pixels, corners = turned(
        sheet.pixels, sheet.corners, degrees, fill, bicubic, grow=bool(not flat or rng.random() < 0.6)
    )
    also = [] if fill == paper and flat else [np.ones_like(sheet.filled)]
    how = [*sheet.how, f"turned {degrees:.2f} by {'bicubic' if bicubic else 'bilinear'}, corners {fill}"]
    sheet = Sheet(pixels, corners, sheet.rgb, sheet.filled, how, also)
    return sheet, file_of(sheet, rng, "PNG") if rng.random() < 0.7 else jpeg_of(sheet, rng, 80)


def photographed(truth: Truth, rng: np.random.Generator) -> Made:
    sheet = _chart(truth, rng, 14)
    edge = float(rng.uniform(0.0, 0.1))
    table = (
        tuple(int(v) for v in rng.integers(30, 200, 3)) if rng.random() < 0.5 else tuple(map(int, sheet.pixels[0, 0]))
    )
    pixels, corners, how = perspective(sheet.pixels, sheet.corners, table, edge, rng)
    soft = float(rng.uniform(0.3, 0.9))
    pixels = np.asarray(Image.fromarray(pixels).filter(ImageFilter.GaussianBlur(soft)))
    sheet = lit(Sheet(pixels, corners, sheet.rgb, sheet.filled, [*sheet.how, how], sheet.also), rng, 1.2)
    return sheet, jpeg_of(sheet, rng, 65)


def cropped(truth: Truth, rng: np.random.Generator) -> Made:
    """An enlarged picture cut from a screen a few pixels off; the cells cut through count as whole ones."""
    sheet, pitch = laid_on_paper(truth, rng), pitch_for(truth, rng, 5)
    sheet = enlarged(sheet, round(pitch)) if rng.random() < 0.5 else nearest(sheet, pitch, rng)
    height, width = sheet.pixels.shape[:2]
    left, top, right, bottom = (int(sheet.pitch * rng.uniform(0, 0.5)) for _ in range(4))
    pixels = sheet.pixels[top : height - bottom, left : width - right]
    how = [*sheet.how, f"cut {left} {top} {right} {bottom} px off the sides"]
    sheet = Sheet(pixels, moved(sheet.corners, 1, 1, -left, -top), sheet.rgb, sheet.filled, how)
    return sheet, file_of(sheet, rng, "PNG")


def screenshot(truth: Truth, rng: np.random.Generator) -> Made:
    """A picture on a page, with margins that are no multiple of its cells."""
    paper = paper_for(truth, rng)
    sheet = laid_on_paper(truth, rng, paper)
    other = paper if truth.clear.any() and rng.random() < 0.4 else paper_for(truth, rng, 0.5)
    pitch = pitch_for(truth, rng, 4, 30)
    pick = rng.random()
    if pick < 0.4:
        sheet = enlarged(sheet, round(pitch))
    else:
        sheet = nearest(sheet, pitch, rng) if pick < 0.7 else resampled(sheet, pitch, rng)
    left, top, right, bottom = (int(v) for v in rng.integers(3, 120, 4))
    height, width = sheet.pixels.shape[:2]
    pixels = np.full((height + top + bottom, width + left + right, 3), other, dtype=np.uint8)
    pixels[top : top + height, left : left + width] = sheet.pixels
    also = [] if other == paper else [np.ones_like(sheet.filled)]
    how = [*sheet.how, f"on a page of {other}, margins {left} {top} {right} {bottom}"]
    sheet = Sheet(pixels, moved(sheet.corners, 1, 1, left, top), sheet.rgb, sheet.filled, how, also)
    return sheet, file_of(sheet, rng, "PNG")


def gradient(truth: Truth, rng: np.random.Generator) -> Made:
    """A drawing on a ground that runs smoothly from one colour to another, by pixels or, in two of five, by cells; what
    the drawing encloses is flat."""
    truth = settled(truth)
    outside = joined_to_edge(truth.clear)
    one, two = _two_ends(truth, rng)
    rgb = np.where(truth.clear[..., None], 200, truth.rgb).astype(np.uint8)
    pitch, angle = pitch_for(truth, rng, 5), float(rng.uniform(0, np.pi / 2))
    corners = upright(0, 0, truth.columns, truth.rows)
    if rng.random() < 0.4:
        rgb = np.where(outside[..., None], _slope(one, two, angle, *outside.shape), rgb).astype(np.uint8)
        sheet, pick = Sheet(rgb, corners, rgb, ~outside), rng.random()
        if pick < 0.4:
            sheet = enlarged(sheet, round(pitch))
        else:
            sheet = nearest(sheet, pitch, rng) if pick < 0.7 else blurred(sheet, pitch, rng)
        how = "by cells"
    else:
        rgba = np.dstack([rgb, np.where(outside, 0, 255)]).astype(np.uint8)
        sheet = Sheet(rgba, corners, rgb, ~outside)
        sheet = nearest(sheet, pitch, rng) if rng.random() < 0.6 else blurred(sheet, pitch, rng)
        cover = sheet.pixels[..., 3:] / 255
        ground = _slope(one, two, angle, *sheet.pixels.shape[:2])
        sheet.pixels = np.rint(sheet.pixels[..., :3] * cover + ground * (1 - cover)).astype(np.uint8)
        how = "by pixels"
    sheet.how.append(f"on a ground from {one.astype(int).tolist()} to {two.astype(int).tolist()} {how}")
    return sheet, file_of(sheet, rng, "PNG")


def _two_ends(truth: Truth, rng: np.random.Generator) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The ends of a ground's slope, no colour of which comes near one of the picture's."""
    one, other = (np.array(paper_for(truth, rng, 0.3), dtype=np.float64) for _ in range(2))
    if (one == other).all():
        other = one + (127.5 - one) * rng.uniform(0.3, 0.9, 3)
    for reach in np.linspace(float(rng.uniform(0.3, 0.7)), 0.1, 8):
        two = one + (other - one) * reach
        between = [tuple(np.rint(one + (two - one) * k).astype(int)) for k in np.linspace(0, 1, 6)]
        if min(nearest_colour(truth, paper) for paper in between) >= 10:
            break
    if ciede2000(srgb_to_lab(one), srgb_to_lab(two)) < 6:
        # Hardly a slope at all: a darker end, or a lighter one, makes it one.
        two = one + (-40 if one.mean() > 127 else 40)
    return one, two.clip(0, 255)


def _slope(
    one: NDArray[np.float64], two: NDArray[np.float64], angle: float, height: int, width: int
) -> NDArray[np.float64]:
    y, x = np.mgrid[0 : 1 : height * 1j, 0 : 1 : width * 1j]
    along = (np.cos(angle) * x + np.sin(angle) * y) / (np.cos(angle) + np.sin(angle))
    return np.asarray(one + (two - one) * along[..., None])


KINDS: dict[str, Callable[[Truth, np.random.Generator], Made]] = {
    "native": native,
    "integer": integer,
    "nearest": non_integer,
    "resampled": smoothed,
    "blurred": browser,
    "jpeg": jpeg,
    "lit": uneven_light,
    "chart": chart,
    "chart-jpeg": chart_jpeg,
    "turned": turned_picture,
    "photographed": photographed,
    "cropped": cropped,
    "screenshot": screenshot,
    "gradient": gradient,
}
# The eleven that the bar is set for; the rest are reported beside them.
MAIN = tuple(KINDS)[:11]
LOSSLESS = ("native", "integer", "nearest")
# Colours are compared once each channel is brought to the truth by a straight line: the light cannot be known.
LIT = ("lit", "photographed")
# Compared with outer rows and columns of mere background taken off, on both sides.
TRIMMED = ("chart", "chart-jpeg", "turned", "photographed", "cropped", "screenshot", "gradient")
