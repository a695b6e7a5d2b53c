"""A truth picture laid on paper, and what may be done to a sheet: enlarged, resized, lit, written as a file."""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.truths import Truth
from tests.pictures.warping import Corners, moved, upright

Cells = NDArray[np.uint8]
Filters = {
    "box": Image.Resampling.BOX,
    "bilinear": Image.Resampling.BILINEAR,
    "bicubic": Image.Resampling.BICUBIC,
    "lanczos": Image.Resampling.LANCZOS,
}
# How far a paper must stand from every colour of the picture, CIEDE2000, lest nobody could tell them apart.
APART = 14.0
PAPERS = (
    (255, 255, 255),
    (240, 236, 220),
    (214, 236, 240),
    (250, 244, 200),
    (30, 32, 40),
    (0, 0, 0),
    (128, 128, 128),
    (90, 140, 200),
    (250, 200, 210),
    (60, 20, 70),
)
# What painters put behind a figure so that a program may find it; strong JPEGs bleed from it into everything.
KEYS = ((0, 255, 0), (255, 0, 255))
LARGEST_PX = 1700


@dataclass(slots=True)
class Sheet:
    """A picture on its way to becoming a case: ``pixels`` RGB or RGBA, where its cells lie, and what was done."""

    pixels: NDArray[np.uint8]
    corners: Corners
    rgb: Cells
    filled: NDArray[np.bool_]
    how: list[str] = field(default_factory=list)
    also: list[NDArray[np.bool_]] = field(default_factory=list)

    @property
    def pitch(self) -> float:
        (x0, y0), (x1, y1), _, (x3, y3) = self.corners
        return (np.hypot(x1 - x0, y1 - y0) / self.rgb.shape[1] + np.hypot(x3 - x0, y3 - y0) / self.rgb.shape[0]) / 2

    @property
    def image(self) -> Image.Image:
        return Image.fromarray(self.pixels)


# Grounds -------------------------------------------------------------------------------------------------------------


def joined_to_edge(same: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Cells of ``same`` that are joined side by side to the edge through cells of ``same``."""
    reached = np.zeros_like(same)
    reached[[0, -1]], reached[:, [0, -1]] = same[[0, -1]], same[:, [0, -1]]
    while True:
        padded = np.pad(reached, 1)
        grown = reached | padded[:-2, 1:-1] | padded[2:, 1:-1] | padded[1:-1, :-2] | padded[1:-1, 2:]
        grown &= same
        if (grown == reached).all():
            return reached
        reached = grown


def background(rgb: Cells) -> NDArray[np.bool_]:
    """The rule of this module for a picture without transparency."""
    edge = np.concatenate([rgb[0], rgb[-1], rgb[1:-1, 0], rgb[1:-1, -1]])
    colours, counts = np.unique(edge, axis=0, return_counts=True)
    most = int(np.argmax(counts))
    corners = (rgb[[0, 0, -1, -1], [0, -1, 0, -1]] == colours[most]).all(axis=1).sum()
    if 2 * counts[most] <= len(edge) and not (corners >= 3 and 3 * counts[most] >= len(edge)):
        return np.zeros(rgb.shape[:2], dtype=np.bool_)
    return joined_to_edge((rgb == colours[most]).all(axis=2))


def paper_for(truth: Truth, rng: np.random.Generator, white: float = 0.4) -> tuple[int, int, int]:
    """A colour for what is clear, far from every colour of the picture unless that is meant for white paper."""
    if truth.name.startswith("white-shape"):
        return (255, 255, 255)
    free = [paper for paper in PAPERS if nearest_colour(truth, paper) >= APART]
    if PAPERS[0] in free and rng.random() < white:
        return PAPERS[0]
    if not free or rng.random() < 0.08:
        return max(KEYS, key=lambda paper: nearest_colour(truth, paper))
    return free[int(rng.integers(0, len(free)))]


def nearest_colour(truth: Truth, paper: tuple[int, int, int]) -> float:
    """How near, CIEDE2000, the picture's colours come to a paper's."""
    return float(ciede2000(srgb_to_lab(paper), srgb_to_lab(np.unique(truth.rgb[~truth.clear], axis=0))).min())


def settled(truth: Truth) -> Truth:
    """The picture with a row or column of clear cells more wherever the drawing takes up so much of the edge that it is
    hard to say what the ground is."""
    edge = np.concatenate([truth.clear[0], truth.clear[-1], truth.clear[1:-1, 0], truth.clear[1:-1, -1]])
    if not truth.clear.any() or edge.mean() >= 0.65:
        return truth
    clear = np.pad(truth.clear, 1, constant_values=True)
    return Truth(truth.name, np.pad(truth.rgb, ((1, 1), (1, 1), (0, 0))), clear, truth.weak)


def laid_on_paper(truth: Truth, rng: np.random.Generator, paper: tuple[int, int, int] | None = None) -> Sheet:
    """One pixel a cell on flat paper."""
    truth = settled(truth)
    paper = paper or paper_for(truth, rng)
    rgb = np.where(truth.clear[..., None], paper, truth.rgb).astype(np.uint8)
    how = [f"on {paper}"] if truth.clear.any() else ["whole canvas"]
    return Sheet(rgb, upright(0, 0, rgb.shape[1], rgb.shape[0]), rgb, ~background(rgb), how)


def laid(truth: Truth, rng: np.random.Generator) -> Sheet:
    """One pixel a cell: on flat paper, or on nothing in three cases of ten."""
    if not truth.clear.any() or rng.random() >= 0.3:
        return laid_on_paper(truth, rng)
    rgba = np.dstack([truth.rgb, np.where(truth.clear, 0, 255)]).astype(np.uint8)
    if rng.random() < 0.3:
        # Some programs leave white, not black, under what is transparent.
        rgba[truth.clear, :3] = 255
    corners = upright(0, 0, truth.columns, truth.rows)
    return Sheet(rgba, corners, truth.rgb, ~truth.clear, ["on nothing"])


# Scaling -------------------------------------------------------------------------------------------------------------


def pitch_for(truth: Truth, rng: np.random.Generator, least: float, most: float = 36.0) -> float:
    """Pixels a cell, small ones as likely as large ones, so that the picture does not grow past LARGEST_PX."""
    most = max(least, min(most, LARGEST_PX / (max(truth.rows, truth.columns) + 2)))
    return float(np.exp(rng.uniform(np.log(least), np.log(most))))


def enlarged(sheet: Sheet, times: int) -> Sheet:
    return Sheet(
        sheet.pixels.repeat(times, axis=0).repeat(times, axis=1),
        moved(sheet.corners, times, times),
        sheet.rgb,
        sheet.filled,
        [*sheet.how, f"x{times}"],
        sheet.also,
    )


def _starts(cells: int, pixels: int, rule: str) -> NDArray[np.intp]:
    """Which cell each pixel shows when ``cells`` are drawn nearest over ``pixels``, as programs differ on it."""
    at = np.arange(pixels)
    if rule == "centre":
        return np.floor((at + 0.5) * cells / pixels).astype(np.intp)
    if rule == "floor":
        return np.floor(at * cells / pixels).astype(np.intp)
    boundaries = np.arange(1, cells) * pixels / cells
    # A half is rounded up, as browsers and spreadsheets do.
    whole = np.ceil(boundaries) if rule == "ceil" else np.floor(boundaries + (0.5 if rule == "round" else 0))
    return np.searchsorted(whole, at, side="right").astype(np.intp)


def nearest(sheet: Sheet, pitch: float, rng: np.random.Generator) -> Sheet:
    """Drawn nearest over a number of pixels that is no multiple of the cells, by one of the rules programs follow."""
    rule = str(rng.choice(["centre", "centre", "floor", "round", "ceil", "down"]))
    rows, columns = sheet.pixels.shape[:2]
    other = pitch * (rng.uniform(0.97, 1.03) if rng.random() < 0.25 else 1)
    width, height = max(columns, round(columns * pitch)), max(rows, round(rows * other))
    pixels = sheet.pixels[np.ix_(_starts(rows, height, rule), _starts(columns, width, rule))]
    how = [*sheet.how, f"nearest ({rule}) {width / columns:.3f} x {height / rows:.3f} px a cell"]
    return Sheet(pixels, moved(sheet.corners, width / columns, height / rows), sheet.rgb, sheet.filled, how, sheet.also)


def resized(sheet: Sheet, ratio: float, how: str, other: float | None = None) -> Sheet:
    height, width = sheet.pixels.shape[:2]
    new = (max(8, round(width * ratio)), max(8, round(height * (other or ratio))))
    image = sheet.image.resize(new, Filters[how])
    if image.mode == "RGBA":
        # As any viewer's enlargement: colours are weighed by their cover, and cover is smooth at the rim.
        image = Image.fromarray(np.asarray(sheet.image.convert("RGBa").resize(new, Filters[how]).convert("RGBA")))
    corners = moved(sheet.corners, new[0] / width, new[1] / height)
    said = [*sheet.how, f"{how} to {new[0]} x {new[1]}"]
    return Sheet(np.asarray(image), corners, sheet.rgb, sheet.filled, said, sheet.also)


def resampled(sheet: Sheet, pitch: float, rng: np.random.Generator) -> Sheet:
    """Enlarged by a whole number first, then resized by a smoothing filter."""
    times = max(2, round(pitch / rng.uniform(0.6, 1.8)))
    filters = str(rng.choice(["box", "bilinear", "bicubic", "lanczos"]))
    return resized(enlarged(sheet, times), pitch / times, filters)


def blurred(sheet: Sheet, pitch: float, rng: np.random.Generator) -> Sheet:
    """Enlarged in one step by a smooth filter, as browsers show small pictures large."""
    return resized(sheet, pitch, str(rng.choice(["bilinear", "bicubic"])))


# Light and files -----------------------------------------------------------------------------------------------------


def lit(sheet: Sheet, rng: np.random.Generator, strength: float = 1.0) -> Sheet:
    """Uneven light, a cast, a bend of the tones, and noise."""
    height, width = sheet.pixels.shape[:2]
    y, x = np.ogrid[0 : 1 : height * 1j, 0 : 1 : width * 1j]
    angle, fall = rng.uniform(0, 2 * np.pi), rng.uniform(0, 0.14) * strength
    slope = np.cos(angle) * (x - 0.5) + np.sin(angle) * (y - 0.5)
    gamma, cast = rng.uniform(0.85, 1.2), rng.uniform(1 - 0.06 * strength, 1 + 0.02 * strength, 3)
    sigma = rng.uniform(2, 9)
    # Of the few levels there are, for raising millions of pixels to a power is what takes the time.
    pixels = (255 * (np.arange(256) / 255) ** gamma)[sheet.pixels[..., :3]]
    pixels *= cast
    pixels *= (1 - fall * (0.7 + slope))[..., None]
    pixels += rng.normal(0, sigma, pixels.shape)
    how = [*sheet.how, f"light falls {fall:.0%}, gamma {gamma:.2f}, noise {sigma:.1f}"]
    np.rint(pixels, out=pixels)
    np.clip(pixels, 0, 255, out=pixels)
    return Sheet(pixels.astype(np.uint8), sheet.corners, sheet.rgb, sheet.filled, how, sheet.also)


def file_of(sheet: Sheet, rng: np.random.Generator, kind: str = "") -> bytes:
    """Without loss, as PNG for the most part."""
    kind = kind or str(rng.choice(["PNG", "PNG", "PNG", "PNG", "WEBP"]))
    buffer = io.BytesIO()
    sheet.image.save(buffer, kind, **({"lossless": True} if kind == "WEBP" else {}))
    return buffer.getvalue()


def jpeg_of(sheet: Sheet, rng: np.random.Generator, least: int = 30, most: int = 95) -> bytes:
    quality, subsampling = int(rng.integers(least, most + 1)), int(rng.choice([0, 2, 2]))
    sheet.how.append(f"JPEG {quality} {'4:4:4' if subsampling == 0 else '4:2:0'}")
    buffer = io.BytesIO()
    Image.fromarray(sheet.pixels[..., :3]).save(buffer, "JPEG", quality=quality, subsampling=subsampling)
    return buffer.getvalue()
