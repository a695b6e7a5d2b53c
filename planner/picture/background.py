"""What of a grid is background.

A cell is background when it is transparent, or when it wears the colour of the picture's edge and is joined to the edge
by cells that do; the same colour enclosed by the picture stays wood. A picture whose edge wears no colour as a ground
does, see ``surround``, has no background of this kind. So the hole of a ring keeps the paper's colour, for it may as
well be a white eye or a lit window, and a maker who wants it plain gives that colour no wood.

The edge's colour may run smoothly from one side to another, as a painted sky or a page in slanting light does.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.picture.channels import largest
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.picture.grid import PictureGrid
from planner.picture.surround import GROUND, edge_of, is_band, sky_or_floor, spread_of, worth_as_ground

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

# Two colours a maker would call the same: a tap takes in what lies no further off, in CIEDE2000. Settled by trial on
# the development set; common practice calls 5 a difference seen at a glance.
NEARLY = 4.0
# How near to a running ground a cell must be to be part of it, in CIEDE2000: so much at the least; else so many times
# as far as the nearer half of the edge is in its middle; where that comes to more than the last, it is no such ground.
_NEAREST, _TIMES, _FURTHEST = 3.0, 5.0, 5.0
# A ground that changes by less than this from end to end is flat; one of fewer colours is painted in bands, as a sky or
# a floor of the drawing is. Settled by trial on the development set.
_LEAST_RUN, _FEWEST_COLOURS = 2.0, 10
# What counts for a ground is in doubt within so much of the mark.
IN_DOUBT = 0.1
# The parts of a running ground run by themselves at least so far as all of it does.
_RUNS_WITHIN = 0.8
# A colour that wears so much of the edge is not asked whether it is the drawing's own.
HALF = 0.5
# So many colours of an edge are asked whether most of it is near them.
_MOST_ASKED = 64


def flat_background(cells: NDArray[np.uint8], within: int = 0) -> Mask | None:
    """Background by one colour, give or take ``within`` levels of 255; None where the edge has none. ``cells`` is
    rows × columns × 3."""
    colour, worth = grounds_of(cells, within)[0]
    if worth <= 0:
        return None
    away = largest(np.abs(cells.astype(np.int16) - colour))
    return joined_to_edge(away <= within)


def grounds_of(
    cells: NDArray[np.uint8], within: int, *, skies: bool = True, speckled: bool = False
) -> list[tuple[NDArray[np.int16], float]]:
    """The colours of the edge with what counts for each to be the ground's, see ``worth_as_ground``, best first;
    ``speckled`` lets one that is speckled over the cells count as any other."""
    edge = edge_of(cells).astype(np.int16)
    # As one number each, which are found in order far quicker than rows of three.
    numbers, counts = np.unique(edge @ np.array([1 << 16, 1 << 8, 1]), return_counts=True)
    colours = (numbers[:, None] >> np.array([16, 8, 0]) & 255).astype(np.int16)
    # Of a long edge of many colours the commonest only are asked.
    colours = colours[np.argsort(-counts, kind="stable")[:_MOST_ASKED]]
    worn = largest(np.abs(colours[:, None] - edge[None])) <= within
    channels = np.moveaxis(cells.astype(np.int16), -1, 0).copy()
    wearing = [(np.abs(channels - colour[:, None, None]) <= within).all(axis=0) for colour in colours]
    spread = np.array([one.mean() if speckled else spread_of(one) for one in wearing])
    worth = worth_as_ground(worn, *cells.shape[:2], skies=skies, spread=spread)
    for at in np.flatnonzero(worth > -IN_DOUBT):
        if is_band(wearing[at]) or (skies and worth[at] > 0 and _is_drawn(wearing[at], float(worn[at].mean()))):
            worth[at] = -GROUND
    return [(colours[at], float(worth[at])) for at in np.argsort(-worth, kind="stable")]


def _is_drawn(wearing: Mask, share: float) -> bool:
    """Whether cells of one colour, of which the edge has ``share``, are the drawing's own though they reach its edge:
    where its largest part there is a sky or a floor, or where the edge has less than half of it and most lie enclosed,
    as in a quilt."""
    if share >= HALF:
        return False
    joined = joined_to_edge(wearing)
    if 2 * joined.sum() < wearing.sum():
        return True
    parts = _parts(joined)
    largest = parts == np.bincount(parts[joined]).argmax()
    return bool(sky_or_floor(edge_of(largest)[None], *wearing.shape)[0])


def page_background(cells: NDArray[np.uint8], page: NDArray[np.uint8], within: int) -> Mask | None:
    """Background by the known colour of the page around the cells, give or take ``within`` levels of 255; None where no
    cell on their edge wears it."""
    away = largest(np.abs(cells.astype(np.int16) - page.astype(np.int16)))
    ground = joined_to_edge(away <= within)
    return ground if ground.any() else None


def running_background(cells: ArrayLike) -> Mask | None:
    """Background by a ground whose colours run smoothly into one another; None where the edge shows none."""
    levels = np.clip(np.asarray(cells, dtype=np.float64), 0, 255)
    lab = srgb_to_lab(levels)
    rows, columns = lab.shape[:2]
    if min(rows, columns) < 4:
        return None
    y, x = np.mgrid[-0.5 : 0.5 : rows * 1j, -0.5 : 0.5 : columns * 1j]
    plane = np.stack([np.ones_like(x), x, y], axis=-1)
    edge, edge_plane = edge_of(lab), edge_of(plane)
    best: Mask | None = None
    for start in (_commonest(edge), None):
        weights = np.ones(len(edge)) if start is None else _weight(ciede2000(edge, start))
        for _ in range(10):
            field = _fitted(edge_plane, edge, weights)
            weighed, weights = weights, _weight(ciede2000(edge, edge_plane @ field))
            if np.array_equal(weights, weighed):
                break
        off = ciede2000(edge, edge_plane @ field)
        near = _TIMES * float(np.median(np.sort(off)[: len(off) // 2 + 1]))
        if near > _FURTHEST or 2 * (off < max(near, _NEAREST)).sum() <= len(edge):
            continue
        if ciede2000(edge_plane @ field, np.median(edge_plane @ field, axis=0)).max() < _LEAST_RUN:
            continue
        ground = _grown(lab, plane, field, max(near, _NEAREST))
        # A ground with nothing on it is the picture.
        if ground.all() or sky_or_floor(edge_of(ground)[None], rows, columns)[0]:
            continue
        # Through colours that lie apart at the picture's ends a plane always runs, but the cells between do not.
        if _runs_within(lab, plane, ground) < _RUNS_WITHIN:
            continue
        # Twos and threes of levels are what files and reading do to one colour.
        if len(np.unique((levels[ground] / 3).round(), axis=0)) < _FEWEST_COLOURS:
            continue
        if best is None or ground.sum() > best.sum():
            best = ground
    return best


def _runs_within(lab: Floats, plane: Floats, ground: Mask) -> float:
    """How far the colours of each part of the ground run as the field fitted to all of it does: 1 where they do, 0
    where every part is flat and only the parts differ."""
    field = plane[ground] @ _fitted(plane[ground], lab[ground], np.ones(int(ground.sum())))
    colours = lab[ground]
    _, parts = np.unique(_parts(ground)[ground], return_inverse=True)
    sizes = np.bincount(parts)[:, None]
    field, colours = (
        one - (np.stack([np.bincount(parts, one[:, k]) for k in range(3)], axis=1) / sizes)[parts]
        for one in (field, colours)
    )
    return float((field * colours).sum() / max(float((field**2).sum()), 1e-9))


def _parts(cells: Mask) -> NDArray[np.intp]:
    """A number for each of ``cells``, the same for those joined side by side; 0 for all others."""
    left, numbers = cells.copy(), np.zeros(cells.shape, dtype=np.intp)
    while left.any():
        row, column = np.unravel_index(int(left.argmax()), left.shape)
        part = joined_to(left, [(int(row), int(column))])
        left &= ~part
        numbers[part] = numbers.max() + 1
    return numbers


def joined_to_edge(same: Mask) -> Mask:
    """The cells of ``same`` that a walk from the edge over cells of ``same``, side by side, can reach."""
    height, width = same.shape
    edge = [(row, column) for row in {0, height - 1} for column in range(width)]
    edge += [(row, column) for column in {0, width - 1} for row in range(height)]
    return joined_to(same, edge)


def joined_to(same: Mask, places: list[tuple[int, int]]) -> Mask:
    """The cells of ``same`` that a walk from ``places`` over cells of ``same``, side by side, can reach."""
    # A ring of walls around the cells spares every step the question whether it leaves the picture.
    height, width = same.shape
    stride = width + 2
    open_cells = bytearray(np.pad(same, 1).astype(np.uint8).tobytes())
    waiting = [(row + 1) * stride + column + 1 for row, column in places]
    waiting = [place for place in waiting if open_cells[place]]
    while waiting:
        place = waiting.pop()
        if open_cells[place] == 1:
            open_cells[place] = 2
            waiting += [n for n in (place - stride, place - 1, place + 1, place + stride) if open_cells[n] == 1]
    reached = np.frombuffer(open_cells, dtype=np.uint8).reshape(height + 2, stride) == 2
    return np.asarray(reached[1:-1, 1:-1], dtype=np.bool_)


def background_toggled(grid: PictureGrid, row: int, column: int) -> PictureGrid:
    """The grid after a tap on a cell.

    A filled one, and every filled cell joined to it side by side in nearly its colour, is set aside as background; a
    background cell, and all background joined to it, is filled again.
    A tap outside of the grid changes nothing.

    >>> rgb = np.full((2, 3, 3), 250, dtype=np.uint8)
    >>> rgb[:, 1] = 20
    >>> grid = PictureGrid(rgb, np.ones((2, 3), dtype=np.bool_))
    >>> background_toggled(grid, 0, 2).filled.tolist()
    [[True, True, False], [True, True, False]]
    >>> background_toggled(background_toggled(grid, 0, 2), 1, 2).filled.all()
    np.True_
    """
    if not (0 <= row < grid.rows and 0 <= column < grid.columns):
        return grid
    if grid.filled[row, column]:
        lab = srgb_to_lab(grid.rgb)
        same = grid.filled & (ciede2000(lab, lab[row, column]) <= NEARLY)
        return PictureGrid(grid.rgb, grid.filled & ~joined_to(same, [(row, column)]))
    return PictureGrid(grid.rgb, grid.filled | joined_to(~grid.filled, [(row, column)]))


def _commonest(edge: Floats) -> Floats:
    """The colour with most of the edge near it."""
    # A long edge is asked at every few cells only.
    asked = edge[:: max(1, len(edge) // 120)]
    near = ciede2000(asked[:, None], edge[None, :]) < _NEAREST
    return np.asarray(np.median(edge[near[int(near.sum(axis=1).argmax())]], axis=0))


def _weight(off: Floats) -> Floats:
    return np.asarray(1 / (1 + (off / _NEAREST) ** 2) ** 2)


def _fitted(known: Floats, lab: Floats, weights: Floats) -> Floats:
    weighed = known * weights[:, None]
    small = 1e-6 * np.eye(known.shape[1]) * weights.sum()
    return np.asarray(np.linalg.solve(weighed.T @ known + small, weighed.T @ lab))


def _grown(lab: Floats, plane: Floats, field: Floats, near: float) -> Mask:
    """The ground grown inwards from the edge, its field fitted to it again with a bend where it is large enough."""
    off = ciede2000(lab, plane @ field)
    ground = joined_to_edge(off < near)
    x, y = plane[..., 1:2], plane[..., 2:3]
    bent = np.concatenate([plane, x * x, x * y, y * y], axis=-1)
    for _ in range(2):
        if ground.sum() < 40:
            break
        again = _fitted(bent[ground], lab[ground], np.ones(int(ground.sum())))
        off = ciede2000(lab, bent @ again)
        grown = joined_to_edge(off < near)
        if grown.sum() < ground.sum():
            break
        ground = grown
    return ground
