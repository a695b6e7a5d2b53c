"""The ruling seen piece by piece: between every two neighbouring cells, is there a line?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.sampling import Floats, Sampler, places

# Neighbouring cells count as of one colour when they differ by less than this, of 255, in the mean of the channels.
# Between such cells nothing but a line can look like one.
SAME = 9.0
# A piece of line is not judged where its ink would stand out from both its cells by less than so many times the noise,
# nor where it would by less than this share of what it does elsewhere, for that is about what may be known of the ink.
_TOLD_APART, _TOLD_SHARE = 1.5, 0.3
# A piece of line is there when it stands out by this share of what its ink and its cells let expect.
_EXPECTED_SHARE = 0.38
# At its weakest place a piece of line stands out by at least this share of its mean.
_WEAKEST = 0.3
# So many pieces it takes to say how the lines look.
_FITTED = 12


@dataclass(frozen=True, slots=True)
class Pieces:
    """Of one direction; lines × cells along them. ``there``: a line is seen; ``told``: it could be told from its
    cells; ``same``: the cells on both sides are of one colour; ``weight``: by how many grey levels it stands
    out; ``mass``: the same summed over the pixels across it."""

    there: NDArray[np.bool_]
    told: NDArray[np.bool_]
    same: NDArray[np.bool_]
    weight: NDArray[np.float32]
    mass: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Ink:
    """How a line looks over a colour: ``own`` and a share ``through`` of the colour, for lines that let the cells shine
    through, or that are blurred into them."""

    through: float
    own: Floats

    def over(self, colour: Floats) -> Floats:
        return self.own + self.through * colour

    def contrast(self, low: Floats, high: Floats) -> Floats:
        """By how many levels a line of such ink goes beyond both its sides, at the least that it may."""
        one, other = self.over(low), self.over(high)
        # How dark a line is between two colours depends on which of them shines through.
        out = np.maximum(low - np.maximum(one, other), np.minimum(one, other) - high)
        return np.asarray(np.maximum(out, 0).mean(axis=2))


@dataclass(frozen=True, slots=True)
class Sheet:
    """All cells of the ruling that the picture has room for. ``cells`` rows × columns × 3: their colours; ``spread``:
    by how much their inner parts differ from that; ``inside``: their middle lies on the picture. ``upright`` and
    ``level``: the pieces of line, each as lines × cells along them. The first cell is (``left``, ``top``) on the map.
    ``ink``: how the lines look; ``between``: by how many grey levels places midway between lines stand out, in the
    median; ``noise``: by how many a piece without a line may; ``false_share``: how many of those midway do by more;
    ``midway``, rows × columns: whether those of a cell do, upright or level."""

    cells: NDArray[np.float32]
    spread: NDArray[np.float32]
    inside: NDArray[np.bool_]
    upright: Pieces
    level: Pieces
    left: int
    top: int
    ink: Ink
    between: float
    noise: float
    false_share: float
    midway: NDArray[np.bool_]


def look(picture: Sampler, to_cells: Floats, most_cells: int) -> Sheet | None:
    """The sheet of a map from pixels to cells; None when it holds more than ``most_cells`` a side."""
    x = np.array([0.0, picture.width, picture.width, 0.0])
    y = np.array([0.0, 0.0, picture.height, picture.height])
    u, v = places(to_cells, x, y)
    left, right = int(np.floor(u.min())), int(np.ceil(u.max()))
    top, bottom = int(np.floor(v.min())), int(np.ceil(v.max()))
    columns, rows = right - left, bottom - top
    if min(columns, rows) < 2 or max(columns, rows) > most_cells:
        return None
    to_pixels = np.linalg.inv(to_cells)
    pitch = mean_pitch(to_pixels, (left + right) / 2, (top + bottom) / 2)
    seen = inner_pixels(picture, to_pixels, left, top, rows, columns, 3 if pitch < 9 else 4)
    cells = np.asarray(np.median(seen.astype(np.float32), axis=2), dtype=np.float32)
    spread = np.asarray(np.abs(seen - cells[:, :, None]).mean(axis=(2, 3)), dtype=np.float32)
    cu, cv = np.arange(left, right) + 0.5, np.arange(top, bottom) + 0.5
    x, y = places(to_pixels, cu[None, :], cv[:, None])
    inside = (x >= 0) & (x < picture.width) & (y >= 0) & (y < picture.height)
    looks, nulls, out_midway = [], [], []
    for axis in (0, 1):
        lines = np.arange(left, right + 1) if axis == 0 else np.arange(top, bottom + 1)
        along = np.arange(top, bottom) if axis == 0 else np.arange(left, right)
        # Lines first, cells along them second.
        colours = np.swapaxes(cells, 0, 1) if axis == 0 else cells
        before = np.concatenate([colours[:1], colours])
        after = np.concatenate([colours, colours[-1:]])
        out, least, colour, mass = _stands_out(_seen(picture, to_pixels, axis, lines, along, pitch), before, after)
        looks.append(_Look(np.minimum(before, after), np.maximum(before, after), out, least, colour, mass))
        midway = _seen(picture, to_pixels, axis, lines[:-1] + 0.5, along, pitch)
        null = _stands_out(midway, colours, colours)[0]
        nulls.append(null[inside.T if axis == 0 else inside])
        out_midway.append(null.T if axis == 0 else null)
    # Where no cell lies on the picture nothing tells how much its pixels differ.
    told = np.concatenate(nulls) if inside.any() else np.zeros(1)
    between = float(np.median(told))
    noise = 1.6 * between + 3
    ink = _ink(looks, noise)
    upright, level = (_pieces(one, ink, noise, place) for one, place in zip(looks, (inside.T, inside), strict=True))
    false_share = float((told > noise).mean())
    stands_out = np.asarray(np.maximum(*out_midway) > noise, dtype=np.bool_)
    return Sheet(cells, spread, inside, upright, level, left, top, ink, between, noise, false_share, stands_out)


@dataclass(frozen=True, slots=True)
class _Look:
    """Of one direction, lines × cells: the lower and the higher colour of the two sides, by how much the line stands
    out in the mean and at its weakest place, its colour, and the levels summed across it."""

    low: NDArray[np.float32]
    high: NDArray[np.float32]
    out: NDArray[np.float32]
    least: NDArray[np.float32]
    ink: NDArray[np.float32]
    mass: NDArray[np.float32]

    @property
    def same(self) -> NDArray[np.bool_]:
        return np.asarray((self.high - self.low).mean(axis=2) < SAME)


def _pieces(look: _Look, ink: Ink, noise: float, inside: NDArray[np.bool_]) -> Pieces:
    expected = ink.contrast(look.low, look.high)
    # Lines heavier each five or ten may be of another colour: a line that is plainly there sets its own measure.
    flat = np.where(look.same, look.out, np.nan)
    usual = np.full((len(flat), 1), np.inf)
    known = np.isfinite(flat).sum(axis=1) >= _FITTED
    usual[known, 0] = np.nanquantile(flat[known], 0.75, axis=1)
    usual = np.where(usual > 2 * noise, usual, np.inf)
    there = look.out > np.maximum(noise, _EXPECTED_SHARE * np.minimum(expected, usual))
    # A numeral's stroke or a drawing's outline is seldom there along all of a cell's side.
    there &= look.least > _WEAKEST * look.out
    plain = float(np.median(expected[there])) if there.any() else 0.0
    told = (expected > max(_TOLD_APART * noise, _TOLD_SHARE * plain)) | there
    seen = np.concatenate([inside[:1], inside]) | np.concatenate([inside, inside[-1:]])
    return Pieces(there & seen, told & seen, look.same, look.out, look.mass)


def sides_there(upright: Pieces, level: Pieces) -> NDArray[np.int64]:
    """How many of the four sides of each cell, rows × columns, show a line."""
    sides = upright.there[:-1].T.astype(np.int64) + upright.there[1:].T + level.there[:-1] + level.there[1:]
    return np.asarray(sides)


def mean_pitch(to_pixels: Floats, u: float, v: float) -> float:
    """Pixels a cell at (u, v)."""
    x, y = places(to_pixels, np.array([u, u + 1, u]), np.array([v, v, v + 1]))
    across = float(np.hypot(x[1] - x[0], y[1] - y[0]))
    down = float(np.hypot(x[2] - x[0], y[2] - y[0]))
    return (across + down) / 2


def inner_pixels(
    picture: Sampler, to_pixels: Floats, left: int, top: int, rows: int, columns: int, fine: int
) -> NDArray[np.uint8]:
    """The pixels at ``fine`` × ``fine`` places of the inner half of each cell: rows × columns × places × 3."""
    inner = 0.5 + np.linspace(-0.24, 0.24, fine)
    u = left + np.arange(columns)[None, :, None, None] + inner[None, None, None, :]
    v = top + np.arange(rows)[:, None, None, None] + inner[None, None, :, None]
    x, y = places(to_pixels, u, v)
    return picture.at(x, y).reshape(rows, columns, fine * fine, 3)


def _seen(
    picture: Sampler,
    to_pixels: Floats,
    axis: int,
    lines: Floats | NDArray[np.int64],
    along: NDArray[np.int64],
    pitch: float,
) -> NDArray[np.uint8]:
    """The colours on each piece of line: lines × cells × places along it × offsets across it × 3."""
    # Wide enough to meet a line that lies a pixel off its place, not so wide as to see the middle of the cell.
    reach = int(np.clip(round(0.2 * pitch), 1, 3))
    offsets = np.arange(-reach, reach + 1) / pitch
    across = np.asarray(lines, dtype=np.float64)[:, None, None, None] + offsets
    beside = along[:, None, None] + np.array([0.23, 0.41, 0.59, 0.77])[:, None]
    u, v = (across, beside) if axis == 0 else (beside, across)
    x, y = places(to_pixels, u, v)
    return picture.at(x, y)


def _stands_out(
    seen: NDArray[np.uint8], before: NDArray[np.float32], after: NDArray[np.float32]
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]]:
    """By how many grey levels the mean profile goes beyond both cells, darker or lighter; by how many the weakest
    place along the piece does; the colour there; and the levels summed over the profile."""
    low, high = np.minimum(before, after)[:, :, None], np.maximum(before, after)[:, :, None]
    stripe = seen.sum(axis=2, dtype=np.float32) / seen.shape[2]
    out = np.maximum(np.maximum(low - stripe, stripe - high), 0).mean(axis=3)
    where = out.argmax(axis=2)[:, :, None]
    colour = np.take_along_axis(stripe, where[..., None], axis=2)[:, :, 0]
    along = np.take_along_axis(seen, where[..., None, None], axis=3)[:, :, :, 0]
    # Darker all along or lighter all along: what turns from one to the other is the rim of something.
    darker = colour[:, :, None] < low
    each = np.maximum(np.where(darker, low - along, along - high), 0).mean(axis=3)
    return np.take_along_axis(out, where, axis=2)[:, :, 0], each.min(axis=2), colour, out.sum(axis=2)


def _ink(looks: list[_Look], noise: float) -> Ink:
    """What the lines look like over any colour, fitted to the pieces between cells of one colour."""
    colours, inks = [], []
    for look in looks:
        good = look.same & (look.out > noise)
        if good.sum() < _FITTED:
            good = look.out > noise
        colours.append((look.low[good] + look.high[good]) / 2)
        inks.append(look.ink[good])
    colour, ink = np.concatenate(colours).astype(np.float64), np.concatenate(inks).astype(np.float64)
    if not len(ink):
        return Ink(0.0, np.zeros(3))
    keep = np.ones(len(ink), dtype=np.bool_)
    through, own = 0.0, np.zeros(3)
    for _ in range(3):
        middle, seen = colour[keep].mean(axis=0), ink[keep].mean(axis=0)
        off, shown = colour[keep] - middle, ink[keep] - seen
        # Where all cells are of nearly one colour nothing tells how much shines through; then nothing does.
        through = float(np.clip((off * shown).sum() / ((off * off).sum() + 3 * _FITTED * 400.0), 0.0, 0.9))
        own = seen - through * middle
        miss = np.abs(ink - own - through * colour).mean(axis=1)
        keep = miss <= max(6.0, 2.5 * float(np.median(miss)))
    return Ink(through, own)
