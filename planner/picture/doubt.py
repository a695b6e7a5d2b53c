"""Whether the ground set aside around a drawing is plainly that, or might as well be another or none.

A sky may be the page behind somebody whose shoulders fill the lower edge, and what is dithered a page with much drawn
on it in single strokes; a drawing cut to its outline leaves hardly any ground at its edge, as a quilt does.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import HALF, IN_DOUBT, grounds_of, joined_to_edge
from planner.picture.channels import largest
from planner.picture.surround import edge_of, sides_of

Mask = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Colour = NDArray[np.int16]

# The ground of a drawing printed with its own, on a page, wears two thirds of its edge and all corners.
_BESIDE_A_PAGE = 0.35
# What comes to the edge in so many places or more is a pattern's where such a part of it lies enclosed, and it is on no
# more than so many of all cells; or where it keeps to one side, and to less than so much of the sides next to it.
_PLACES, _ENCLOSED, _PATTERN, _LOW = 7, 0.1, 1 / 3, 0.5
# The land or the sea below a sky is of many colours: in so many steps from one end to the other, none less than so many
# levels of 255; and such a part of it is not what it is on the other side, as clothes are.
_STEPS, _STEP, _UNLIKE = 6, 12, 0.15


def ground_in_doubt(cells: Bytes, within: int = 0) -> bool:
    """Whether the edge speaks nearly as well for another ground than ``flat_background`` sets aside, or for none."""
    grounds = grounds_of(cells, within)
    best = grounds[0][1]
    if best > 0:
        away = (_off(cells, grounds[0][0]) > within).any()
        others = [worth for colour, worth in grounds[1:] if np.abs(colour - grounds[0][0]).max() > 2 * within]
        return bool(away) and (best < IN_DOUBT or max(others, default=-1.0) > -IN_DOUBT)
    skies = [colour for colour, worth in grounds_of(cells, within, skies=False) if worth > 0]
    if not all(_is_over_scenery(cells, _off(cells, colour) <= within, within) for colour in skies):
        return True
    if _wears_most(cells, [colour for colour, _ in grounds], within):
        return True
    if grounds_of(cells, within, speckled=True)[0][1] > max(best, -IN_DOUBT):
        return True
    nearly = [colour for colour, worth in grounds if worth > -IN_DOUBT]
    return not all(_is_patterned(_off(cells, colour) <= within) for colour in nearly)


def beside_the_page(cells: Bytes, page: Bytes, within: int) -> bool:
    """Whether cells may have no other ground than the ``page`` around them though none at their edge wears its colour:
    some within do, as blanks, and the edge wears no colour more than one of the drawing's own may be worn."""
    blank = _off(cells, page.astype(np.int16)) <= within
    if not blank.any() or edge_of(blank).any():
        return False
    return 0 < grounds_of(cells, within)[0][1] < _BESIDE_A_PAGE


def _off(cells: Bytes, colour: Colour) -> NDArray[np.int16]:
    return largest(np.abs(cells.astype(np.int16) - colour))


def _is_patterned(wearing: Mask) -> bool:
    """Whether cells of one colour are a pattern's, which comes to the edge in many places and goes on within, or a
    speckled sky's or floor's."""
    edge = edge_of(wearing)
    if int((edge & ~np.roll(edge, 1)).sum()) < _PLACES:
        return False
    sides = sides_of(edge[None], *wearing.shape)[:, 0]
    for side in range(4):
        if sides[side - 2] == 0 and max(sides[side - 1], sides[(side + 1) % 4]) < _LOW:
            return True
    enclosed = joined_to_edge(wearing).sum() <= (1 - _ENCLOSED) * wearing.sum()
    return bool(enclosed and wearing.mean() <= _PATTERN)


def _is_over_scenery(cells: Bytes, wearing: Mask, within: int) -> bool:
    """Whether cells of one colour are a sky over land or sea, all along one side, and not a page behind shoulders."""
    sides = sides_of(edge_of(wearing)[None], *wearing.shape)[:, 0]
    for side in range(4):
        if sides[side] < 1 or sides[side - 2] > 0:
            continue
        # That side up.
        upright, sky = np.rot90(cells, side).astype(np.int16), np.rot90(wearing, side)
        below = upright[np.flatnonzero(sky.any(axis=1))[-1] + 1 :]
        least = max(_STEP, 2 * within)
        steps = (largest(np.abs(np.diff(below[-1], axis=0))) > least).sum()
        unlike = (largest(np.abs(below - below[:, ::-1])) > least).mean()
        return bool(steps >= _STEPS and unlike >= _UNLIKE)
    return False


def _wears_most(cells: Bytes, colours: list[Colour], within: int) -> bool:
    """Whether the edge wears one of the ``colours`` over more than half, or over a third and in three corners, however
    speckled: a page may be dithered. A sky's is not asked."""
    wearing = [_off(cells, colour) <= within for colour in colours]
    for one in wearing:
        share, corners = edge_of(one).mean(), one[[0, 0, -1, -1], [0, -1, 0, -1]].sum()
        if (share > HALF or (3 * share >= 1 and corners >= 3)) and not _is_over_scenery(cells, one, within):
            return True
    return False
