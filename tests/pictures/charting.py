"""Charts: coloured cells on ruled lines with numbers along the sides, as pattern sheets are printed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from tests.pictures.warping import Corners, upright

LINES = {
    "black": (0, 0, 0),
    "dark": (50, 50, 56),
    "grey": (128, 128, 128),
    "light": (200, 200, 200),
    "white": (255, 255, 255),
    "blue": (70, 90, 170),
}


@dataclass(frozen=True, slots=True)
class Ruling:
    """How a chart is ruled: the thin lines and, each so many cells, the heavy ones; ``cover`` below 1 lets the cells
    shine through, as on screens."""

    name: str
    thin: int
    heavy: int
    every: int
    colour: tuple[int, int, int]
    heavy_colour: tuple[int, int, int]
    cover: float
    edged: bool
    first: tuple[int, int]

    def line(self, k: int, axis: int) -> tuple[int, tuple[int, int, int]]:
        """Width and colour of line ``k`` across columns (0) or rows (1)."""
        if self.every and (k - self.first[axis]) % self.every == 0:
            return self.heavy, self.heavy_colour
        return self.thin, self.colour


def drawn_chart(
    cells: NDArray[np.uint8], paper: tuple[int, int, int], pitch: float, rng: np.random.Generator
) -> tuple[NDArray[np.uint8], Corners, str]:
    """A page of ``cells`` (rows × columns × 3) ``pitch`` pixels a cell; where their corners lie; what was drawn.

    Where the pitch is no whole number, lines stand at the nearest whole pixel, as spreadsheets and browsers put them.
    """
    rows, columns = cells.shape[:2]
    ruling = _ruling(cells, paper, pitch, rng)
    numbers = bool(rng.random() < 0.6)
    margins = [int(v) for v in rng.integers(int(pitch / 2), int(4 * pitch), 4)]
    if rng.random() < 0.2:
        margins = [ruling.heavy] * 4
    sides = 0
    if numbers:
        sides = int(rng.choice([2, 2, 4]))
        margins[:sides] = [max(margin, int(2 * pitch)) for margin in margins[:sides]]
    left, top, right, bottom = margins
    at_x = left + np.rint(np.arange(columns + 1) * pitch).astype(int)
    at_y = top + np.rint(np.arange(rows + 1) * pitch).astype(int)
    pixels = np.empty((at_y[-1] + bottom, at_x[-1] + right, 3), dtype=np.uint8)
    pixels[:] = paper
    big = cells.repeat(np.diff(at_y), axis=0).repeat(np.diff(at_x), axis=1)
    pixels[top : at_y[-1], left : at_x[-1]] = big
    _rule(pixels, at_x, at_y, ruling)
    if numbers:
        pixels = _numbered(pixels, at_x, at_y, pitch, paper, ruling.every or int(rng.choice([1, 5, 10])), sides)
    how = (
        f"chart of {pitch:.4g} px cells, {ruling.name} lines {ruling.thin} px"
        + (f" covering {ruling.cover:.0%}" if ruling.cover < 1 else "")
        + (f", {ruling.heavy} px each {ruling.every}" if ruling.every else "")
        + (f", numbered on {sides} sides" if numbers else "")
        + ("" if ruling.edged else ", no line around it")
        + f", margins {left} {top} {right} {bottom}"
    )
    # A line of odd width is drawn half a pixel further right: its middle is where cells meet.
    off = (ruling.thin % 2) / 2
    return pixels, upright(left + off, top + off, left + columns * pitch + off, top + rows * pitch + off), how


def _ruling(cells: NDArray[np.uint8], paper: tuple[int, int, int], pitch: float, rng: np.random.Generator) -> Ruling:
    rows, columns = cells.shape[:2]
    ground = np.concatenate([cells.reshape(-1, 3), np.tile(paper, (cells.shape[0], 1))]).astype(int)
    thin = int(rng.choice([1, 1, 1, 2, 3])) if pitch >= 14 else 1
    every = int(rng.choice([0, 0, 5, 10, 10]))
    heavy = max(thin + 1, int(rng.choice([2, 3, 4]))) if every else thin
    heavy = min(heavy, max(thin + 1, int(pitch) // 4))
    # Where every fifth or tenth line is heavier, makers count from the top left or from the middle.
    first = (0, 0) if rng.random() < 0.7 else (columns // 2 % max(1, every), rows // 2 % max(1, every))
    edged, cover = bool(rng.random() < 0.85), 1.0
    if rng.random() < 0.2:
        # Lines that let the cells shine through show on every cell that is not of their own end of the scale.
        name, cover = ("black" if ground.mean() > 110 else "white"), float(rng.uniform(0.2, 0.6))
    else:
        name = _line_colour(ground, rng)
    heavy_colour = LINES[name]
    if every and rng.random() < 0.3:
        heavy_colour = LINES[_line_colour(ground, rng)]
    return Ruling(name, thin, heavy, every, LINES[name], heavy_colour, cover, edged, first)


def _rule(pixels: NDArray[np.uint8], at_x: NDArray[np.intp], at_y: NDArray[np.intp], ruling: Ruling) -> None:
    """Columns' lines and then rows', thin ones first, so that heavy ones are not cut through."""
    for heavy in (False, True):
        for axis, (at, across) in enumerate(((at_x, at_y), (at_y, at_x))):
            for k in range(len(at)):
                wide, colour = ruling.line(k, axis)
                is_heavy = bool(ruling.every) and (k - ruling.first[axis]) % ruling.every == 0
                if is_heavy != heavy or not (ruling.edged or 0 < k < len(at) - 1):
                    continue
                start = at[k] - wide // 2
                along = slice(max(0, across[0] - wide // 2), across[-1] + (wide + 1) // 2)
                band = (along, slice(max(0, start), start + wide))
                place = band if axis == 0 else band[::-1]
                under = pixels[place].astype(np.float64)
                pixels[place] = np.rint(under + (np.array(colour) - under) * ruling.cover)


def _line_colour(ground: NDArray[np.int_], rng: np.random.Generator) -> str:
    """Lines that show on the paper or on most of the cells; lines that nobody can see are no chart."""
    names = [str(n) for n in rng.permutation(list(LINES))]
    shows = [float(np.mean(np.abs(ground - np.array(LINES[name])).sum(axis=1) > 90)) for name in names]
    good = [name for name, share in zip(names, shows, strict=True) if share > 0.6]
    return good[0] if good else names[int(np.argmax(shows))]


def _numbered(
    pixels: NDArray[np.uint8], at_x: NDArray[np.intp], at_y: NDArray[np.intp], pitch: float,
    paper: tuple[int, int, int], every: int, sides: int,
) -> NDArray[np.uint8]:  # fmt: skip
    image = Image.fromarray(pixels)
    draw = ImageDraw.Draw(image)
    ink = (40, 40, 40) if sum(paper) > 330 else (225, 225, 225)
    size = max(7, int(pitch * 0.6)) if every == 1 else max(9, min(int(pitch), 16))
    font = ImageFont.load_default(size)
    for k in range(every, len(at_x), every):
        middle = float(at_x[k - 1] + at_x[k]) / 2
        draw.text((middle, at_y[0] - 0.8 * pitch), str(k), ink, font, anchor="mm")
        if sides == 4:
            draw.text((middle, at_y[-1] + 0.8 * pitch), str(k), ink, font, anchor="mm")
    for k in range(every, len(at_y), every):
        middle = float(at_y[k - 1] + at_y[k]) / 2
        draw.text((at_x[0] - 0.6 * pitch, middle), str(k), ink, font, anchor="rm")
        if sides == 4:
            draw.text((at_x[-1] + 0.6 * pitch, middle), str(k), ink, font, anchor="lm")
    return np.asarray(image)
