"""Pictures on small grids drawn by rule from a seed: the same seed paints the same picture, on any machine.

Every painter takes a NumPy generator and returns (rgb rows × columns × 3 uint8, clear rows × columns bool): ``clear``
is True where nothing is drawn. Painters that fill the whole canvas return no clear cell.
"""

from __future__ import annotations

import colorsys
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Painted = tuple[NDArray[np.uint8], NDArray[np.bool_]]
Painter = Callable[[np.random.Generator], Painted]

BAYER = np.array([[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]]) / 16 + 1 / 32


def _hsv(h: float, s: float, v: float) -> tuple[int, int, int]:
    return tuple(round(255 * c) for c in colorsys.hsv_to_rgb(h % 1, min(max(s, 0), 1), min(max(v, 0), 1)))


def ramp(rng: np.random.Generator, steps: int, hue: float | None = None) -> NDArray[np.uint8]:
    """Colours from shadow to light whose hue drifts a little, as painters of small pictures mix them."""
    hue = float(rng.random()) if hue is None else hue
    drift, most = rng.uniform(-0.12, 0.12), rng.uniform(0.35, 0.9)
    light = np.linspace(rng.uniform(0.15, 0.35), rng.uniform(0.8, 1.0), steps)
    return np.array(
        [_hsv(hue + drift * (k / max(1, steps - 1) - 0.5), most * (1.1 - 0.6 * v), v) for k, v in enumerate(light)],
        dtype=np.uint8,
    )


def _side(rng: np.random.Generator, least: int = 12, most: int = 48) -> int:
    return round(np.exp(rng.uniform(np.log(least), np.log(most))))


def _grown(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    padded = np.pad(mask, 1)
    return padded[:-2, 1:-1] | padded[2:, 1:-1] | padded[1:-1, :-2] | padded[1:-1, 2:]


def _shaded(mask: NDArray[np.bool_], colours: NDArray[np.uint8], rng: np.random.Generator) -> NDArray[np.uint8]:
    """A lump lit from the upper left: how far a cell lies from the rim, and on which side, picks its colour."""
    depth, inner = np.zeros(mask.shape), mask.copy()
    while inner.any():
        depth += inner
        inner &= ~_grown(~np.pad(inner, 1))[1:-1, 1:-1]
    rows, columns = np.indices(mask.shape)
    centre = np.array([rows[mask].mean(), columns[mask].mean()])
    slant = -((rows - centre[0]) + 0.6 * (columns - centre[1])) / max(mask.shape)
    level = 0.55 * slant + 0.35 * depth / max(1.0, depth.max()) + 0.35
    if rng.random() < 0.5:
        level = level + (BAYER[rows % 4, columns % 4] - 0.5) / len(colours)
    return colours[np.clip(level * len(colours), 0, len(colours) - 1).astype(int)]


def creature(rng: np.random.Generator) -> Painted:
    """A beast that is the same left and right, with an outline, shading and eyes."""
    size = _side(rng, 10, 32)
    half = np.zeros((size, (size + 1) // 2), dtype=bool)
    inside = (slice(2, size - 2), slice(2, None))
    half[inside] = rng.random(half[inside].shape) < 0.55
    for _ in range(3):
        around = sum(np.roll(np.roll(half, a, 0), b, 1).astype(int) for a in (-1, 0, 1) for b in (-1, 0, 1))
        grown = around >= 5
        half[inside] = grown[inside]
    half[size // 4 : size - size // 4, -max(2, size // 6) :] = True
    half[:2], half[-2:], half[:, :2] = False, False, False
    body = np.concatenate([half, half[:, ::-1][:, size % 2 :]], axis=1)
    rgb = _shaded(body, ramp(rng, int(rng.integers(3, 7))), rng)
    if rng.random() < 0.5:
        spots = np.zeros_like(half)
        spots[rng.random(half.shape) < 0.12] = True
        spots = np.concatenate([spots, spots[:, ::-1][:, size % 2 :]], axis=1) & body
        rgb[spots] = _hsv(rng.random(), 0.7, 0.85)
    row, out = size // 3, max(1, size // 8)
    middle = (body.shape[1] - 1) / 2
    for column in (int(np.floor(middle - out)), int(np.ceil(middle + out))):
        rgb[row, column], body[row, column] = (250, 250, 245), True
        rgb[row + 1, column], body[row + 1, column] = (20, 20, 30), True
    rim = _grown(body) & ~body
    rgb[rim] = _hsv(rng.random(), 0.5, 0.14)
    return rgb, ~(body | rim)


def still_life(rng: np.random.Generator) -> Painted:
    """Some shaded shapes before and behind each other, with or without outlines."""
    rows, columns = _side(rng, 14, 44), _side(rng, 14, 44)
    rgb, drawn = np.zeros((rows, columns, 3), dtype=np.uint8), np.zeros((rows, columns), dtype=bool)
    y, x = np.indices((rows, columns))
    outlined, dark = rng.random() < 0.6, np.array(_hsv(rng.random(), 0.6, 0.18), dtype=np.uint8)
    for _ in range(int(rng.integers(2, 6))):
        cy, cx = rng.uniform(0.3, 0.7, 2) * (rows, columns)
        h, w = rng.uniform(0.15, 0.38, 2) * (rows, columns)
        power = rng.choice([1.0, 2.0, 2.0, 6.0])
        shape = np.abs((y - cy) / h) ** power + np.abs((x - cx) / w) ** power <= 1
        shape[[0, -1]], shape[:, [0, -1]] = False, False
        if not shape.any():
            continue
        rgb[shape] = _shaded(shape, ramp(rng, int(rng.integers(2, 7))), rng)[shape]
        if outlined:
            rgb[_grown(shape) & ~shape] = dark
            drawn |= _grown(shape)
        drawn |= shape
    return rgb, ~drawn


def ball(rng: np.random.Generator) -> Painted:
    """One ball, lit from a side, its shades broken up in an ordered pattern."""
    size = _side(rng, 12, 40)
    y, x = (np.indices((size, size)) - (size - 1) / 2) / (size / 2 - 1)
    inside = x**2 + y**2 <= 1
    z = np.sqrt(np.clip(1 - x**2 - y**2, 0, 1))
    angle = rng.uniform(0, 2 * np.pi)
    lit = np.clip(0.6 * (np.cos(angle) * x + np.sin(angle) * y) + 0.75 * z, 0, 1)
    colours = ramp(rng, int(rng.integers(3, 9)))
    rows, columns = np.indices((size, size))
    level = np.floor(lit * (len(colours) - 1) + BAYER[rows % 4, columns % 4]).clip(0, len(colours) - 1)
    return colours[level.astype(int)], ~inside


def landscape(rng: np.random.Generator) -> Painted:
    """Sky, sun, hills and water over the whole canvas; nothing is left clear."""
    rows, columns = _side(rng, 16, 40), _side(rng, 18, 48)
    y, x = np.indices((rows, columns))
    sky = ramp(rng, int(rng.integers(4, 8)), hue=rng.uniform(0.5, 1.1))[:: int(rng.choice([-1, 1]))]
    horizon = rng.uniform(0.45, 0.7) * rows
    level = np.floor(y / horizon * (len(sky) - 1) + BAYER[y % 4, x % 4]).clip(0, len(sky) - 1)
    rgb = sky[level.astype(int)]
    cy, cx, radius = horizon * rng.uniform(0.2, 0.7), columns * rng.uniform(0.2, 0.8), rng.uniform(1.5, rows / 6)
    rgb[(y - cy) ** 2 + (x - cx) ** 2 <= radius**2] = (255, 236, 170)
    for depth in range(int(rng.integers(2, 5))):
        wave = sum(rng.uniform(0.3, 1.5) * np.sin(x[0] * rng.uniform(0.1, 0.7) + rng.uniform(0, 7)) for _ in range(3))
        top = horizon + depth * rng.uniform(1.5, 3.5) + wave
        hill = y >= top
        colours = ramp(rng, 3, hue=rng.uniform(0.2, 0.45))
        rgb[hill] = colours[1]
        rgb[hill & (y < top + 1)] = colours[2]
        rgb[hill & (rng.random(hill.shape) < 0.12)] = colours[0]
    for _ in range(int(rng.integers(1, 5))):
        foot, trunk = int(rng.integers(int(horizon), rows)), int(rng.integers(1, columns - 1))
        rgb[max(0, foot - 5) : foot, trunk] = (70, 44, 30)
        crown = np.abs(y - foot + 6) + 1.3 * np.abs(x - trunk) < 3.2
        rgb[crown] = (34, 84, 52)
    return rgb, np.zeros((rows, columns), dtype=bool)


def framed(rng: np.random.Generator) -> Painted:
    """A small scene within a frame whose beads change colour from cell to cell."""
    rgb, clear = still_life(rng) if rng.random() < 0.5 else creature(rng)
    ground = np.array(_hsv(rng.random(), 0.2, 0.95), dtype=np.uint8)
    scene = np.where(clear[..., None], ground, rgb)
    wide = int(rng.integers(1, 4))
    rows, columns = scene.shape[0] + 2 * wide, scene.shape[1] + 2 * wide
    beads = ramp(rng, 4)
    y, x = np.indices((rows, columns))
    ring = np.minimum(np.minimum(y, x), np.minimum(rows - 1 - y, columns - 1 - x))
    whole = beads[(x + y + ring) % 4]
    whole[wide:-wide, wide:-wide] = scene
    return whole, np.zeros((rows, columns), dtype=bool)


def strokes(rng: np.random.Generator) -> Painted:
    """Strokes one cell wide, like writing in a made-up script."""
    rows, columns = _side(rng, 9, 24), _side(rng, 16, 48)
    drawn = np.zeros((rows, columns), dtype=int)
    for stroke in range(max(3, columns // 5)):
        row, column = int(rng.integers(1, rows - 1)), int(rng.integers(1, columns - 1))
        for _ in range(int(rng.integers(2, 5))):
            down, across = ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (-1, 1))[int(rng.integers(0, 6))]
            for _ in range(int(rng.integers(1, 6))):
                drawn[row, column] = 1 + stroke % 3
                if not (0 < row + down < rows - 1 and 0 < column + across < columns - 1):
                    break
                row, column = row + down, column + across
    inks = np.concatenate([[[0, 0, 0]], ramp(rng, 3)]).astype(np.uint8)
    return inks[drawn], drawn == 0


def white_shape(rng: np.random.Generator) -> Painted:
    """A white figure with a thin outline, meant for white paper."""
    rgb, clear = creature(rng)
    body = ~clear
    rim = body & _grown(~np.pad(body, 1))[1:-1, 1:-1]
    white = np.full(rgb.shape, 255, dtype=np.uint8)
    white[rim] = _hsv(rng.random(), 0.6, rng.uniform(0.1, 0.6))
    details = body & ~rim & (rng.random(body.shape) < 0.15)
    white[details] = _hsv(rng.random(), 0.5, 0.7)
    return white, clear


def near_colours(rng: np.random.Generator) -> Painted:
    """Near colours side by side with a few marks on them: a pennant shaded in steps, or a whole canvas of patches."""
    rows, columns = _side(rng, 10, 32), _side(rng, 12, 40)
    colours = ramp(rng, int(rng.integers(8, 22)))
    y, x = np.indices((rows, columns))
    wave = y / rows + 0.5 * x / columns + 0.12 * np.sin(x * rng.uniform(0.2, 0.9))
    level = np.clip(wave / 1.5 * len(colours), 0, len(colours) - 1).astype(int)
    clear = np.zeros((rows, columns), dtype=bool)
    if rng.random() < 0.5:
        clear = np.minimum(np.minimum(y, x), np.minimum(rows - 1 - y, columns - 1 - x)) < 1 + (x % 3 == 0)
    else:
        # A canvas of one smooth slope could as well be the ground that a drawing stands on; patches could not.
        tall, wide = (int(k) for k in rng.integers(2, 5, 2))
        patches = rng.integers(0, len(colours), (rows // tall + 1, columns // wide + 1))
        level = patches[y // tall, x // wide]
    rgb = colours[level]
    marks = rng.random((rows, columns)) < 0.08
    rgb[marks] = colours[rng.integers(0, len(colours), int(marks.sum()))]
    return rgb, clear


def quilt(rng: np.random.Generator) -> Painted:
    """A block repeated and turned, whole or with gaps, as patchwork is laid."""
    block = int(rng.integers(3, 8))
    colours = ramp(rng, int(rng.integers(3, 6)))
    piece = rng.integers(0, len(colours) + 1, (block, block))
    down, across = (int(k) for k in rng.integers(2, 5, 2))
    turned = [[np.rot90(piece, int(rng.integers(0, 4))) for _ in range(across)] for _ in range(down)]
    cells = np.block(turned)
    clear = cells == len(colours)
    if rng.random() < 0.6:
        cells, clear = np.where(clear, 0, cells), np.zeros(cells.shape, dtype=bool)
    return colours[np.clip(cells, 0, len(colours) - 1)], clear


def mosaic(rng: np.random.Generator) -> Painted:
    """Cells of a few colours thrown at random; no shape helps the reader."""
    rows, columns = _side(rng, 8, 26), _side(rng, 8, 26)
    colours = np.concatenate([ramp(rng, 3), ramp(rng, 3), ramp(rng, 2)])
    return colours[rng.integers(0, len(colours), (rows, columns))], np.zeros((rows, columns), dtype=bool)


def plant(rng: np.random.Generator) -> Painted:
    """A plant with a stem, leaves and flowers, taller than wide."""
    rows, columns = _side(rng, 20, 48), _side(rng, 12, 28)
    rgb, drawn = np.zeros((rows, columns, 3), dtype=np.uint8), np.zeros((rows, columns), dtype=bool)
    greens, petals = ramp(rng, 4, hue=rng.uniform(0.22, 0.42)), ramp(rng, 4)

    def put(row: int, column: int, colour: NDArray[np.uint8]) -> None:
        if 1 <= row < rows - 1 and 1 <= column < columns - 1:
            rgb[row, column], drawn[row, column] = colour, True

    column = columns / 2
    for row in range(rows - 2, 3, -1):
        column += rng.uniform(-0.6, 0.6)
        column = min(max(column, 3), columns - 4)
        put(row, int(column), greens[1])
        if row % 3 == 0:
            way = -1 if rng.random() < 0.5 else 1
            for k in range(1, int(rng.integers(2, 6))):
                put(row - k // 2, int(column) + way * k, greens[2 if k % 2 else 3])
                put(row - k // 2 + 1, int(column) + way * k, greens[0])
    for row, place in [(3, int(column))] + [(int(rng.integers(3, rows // 2)), int(rng.integers(2, columns - 2)))] * 2:
        for dy, dx in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            put(row + dy, place + dx, petals[2])
            put(row + 2 * dy, place + 2 * dx, petals[1])
        put(row, place, petals[3])
    return rgb, ~drawn


PAINTERS: dict[str, Painter] = {
    painter.__name__.replace("_", "-"): painter
    for painter in (
        creature,
        still_life,
        ball,
        landscape,
        framed,
        strokes,
        white_shape,
        near_colours,
        quilt,
        mosaic,
        plant,
    )
}
