"""Charts: coloured cells on ruled lines with numbers along the sides, as pattern sheets are printed."""

from __future__ import annotations

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


def drawn_chart(
    cells: NDArray[np.uint8], paper: tuple[int, int, int], pitch: int, rng: np.random.Generator
) -> tuple[NDArray[np.uint8], Corners, str]:
    """A page of ``cells`` (rows × columns × 3) ``pitch`` pixels a cell; where their corners lie; what was drawn."""
    rows, columns = cells.shape[:2]
    name = _line_colour(cells, paper, rng)
    thin = int(rng.choice([1, 1, 1, 2, 3])) if pitch >= 14 else 1
    every = int(rng.choice([0, 0, 5, 10, 10]))
    heavy = max(thin + 1, int(rng.choice([2, 3, 4]))) if every else thin
    heavy = min(heavy, max(thin + 1, pitch // 4))
    numbers = bool(rng.random() < 0.6)
    margins = [int(v) for v in rng.integers(pitch // 2, 4 * pitch, 4)] if rng.random() < 0.8 else [heavy] * 4
    if numbers:
        margins[:2] = [max(margin, 2 * pitch) for margin in margins[:2]]
    left, top, right, bottom = margins
    width, height = left + columns * pitch + right, top + rows * pitch + bottom
    pixels = np.empty((height, width, 3), dtype=np.uint8)
    pixels[:] = paper
    big = cells.repeat(pitch, axis=0).repeat(pitch, axis=1)
    pixels[top : top + rows * pitch, left : left + columns * pitch] = big
    edged = bool(rng.random() < 0.85)
    # Where every fifth or tenth line is heavier, makers count from the top left or from the middle.
    first = (0, 0) if rng.random() < 0.7 else (columns // 2 % max(1, every), rows // 2 % max(1, every))
    colour = LINES[name]
    for k in range(columns + 1):
        if edged or 0 < k < columns:
            wide = heavy if every and (k - first[0]) % every == 0 else thin
            start = left + k * pitch - wide // 2
            pixels[max(0, top - wide // 2) : top + rows * pitch + (wide + 1) // 2, max(0, start) : start + wide] = (
                colour
            )
    for k in range(rows + 1):
        if edged or 0 < k < rows:
            wide = heavy if every and (k - first[1]) % every == 0 else thin
            start = top + k * pitch - wide // 2
            pixels[
                max(0, start) : start + wide, max(0, left - wide // 2) : left + columns * pitch + (wide + 1) // 2
            ] = colour
    if numbers:
        pixels = _numbered(pixels, rows, columns, (left, top), pitch, paper, every or int(rng.choice([1, 5, 10])))
    how = (
        f"chart of {pitch} px cells, {name} lines {thin} px"
        + (f", {heavy} px each {every}" if every else "")
        + (", numbered" if numbers else "")
        + ("" if edged else ", no line around it")
        + f", margins {left} {top} {right} {bottom}"
    )
    # A line of odd width is drawn half a pixel further right: its middle is where cells meet.
    off = (thin % 2) / 2
    return pixels, upright(left + off, top + off, left + columns * pitch + off, top + rows * pitch + off), how


def _line_colour(cells: NDArray[np.uint8], paper: tuple[int, int, int], rng: np.random.Generator) -> str:
    """Lines that show on the paper or on most of the cells; lines that nobody can see are no chart."""
    names = [str(n) for n in rng.permutation(list(LINES))]
    ground = np.concatenate([cells.reshape(-1, 3), np.tile(paper, (cells.shape[0], 1))]).astype(int)
    for name in names:
        far = np.abs(ground - np.array(LINES[name])).sum(axis=1)
        if np.mean(far > 90) > 0.6:
            return name
    return names[0]


def _numbered(
    pixels: NDArray[np.uint8], rows: int, columns: int, origin: tuple[int, int], pitch: int,
    paper: tuple[int, int, int], every: int,
) -> NDArray[np.uint8]:  # fmt: skip
    image = Image.fromarray(pixels)
    draw = ImageDraw.Draw(image)
    ink = (40, 40, 40) if sum(paper) > 330 else (225, 225, 225)
    size = max(7, int(pitch * 0.6)) if every == 1 else max(9, min(pitch, 16))
    font = ImageFont.load_default(size)
    left, top = origin
    for k in range(every, columns + 1, every):
        draw.text((left + (k - 0.5) * pitch, top - 0.8 * pitch), str(k), ink, font, anchor="mm")
    for k in range(every, rows + 1, every):
        draw.text((left - 0.6 * pitch, top + (k - 0.5) * pitch), str(k), ink, font, anchor="rm")
    return np.asarray(image)
