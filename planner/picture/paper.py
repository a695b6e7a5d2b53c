"""The paper that an ordinary drawing stands on, told from a sky or a wall."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import joined_to_edge

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

# In OKLab, where black to white measures 1; common practice, no source, settled by trial on drawn scenes. Cells of
# paper are at most so far from its colour, on the edge and within.
_FLAT, _FLAT_JOINED = 0.03, 0.04
# A share of the edge above this whose colour is a little off shows that the colour runs on; paper in slanting
# light starts with so much of the edge alike, takes in so much of it in the end, and falls off by so much at the most.
_RUNS_ON, _STARTS, _LIT_SHARE, _LIT_MOST = 0.1, 0.2, 0.6, 0.25


def paper_around(cells: Floats) -> Mask:
    """The paper around a drawing, rows × columns, of cells in OKLab: those joined to the edge that wear the colour of
    more than half of it, flat, or falling off evenly as in slanting light. A sky or a wall whose colour runs on into
    others is no paper."""
    rows, columns = cells.shape[:2]
    y, x = np.meshgrid(np.linspace(-0.5, 0.5, rows), np.linspace(-0.5, 0.5, columns), indexing="ij")
    plane = np.stack([np.ones_like(x), x, y], axis=-1)
    edge, place = (np.concatenate([of[0], of[-1], of[1:-1, 0], of[1:-1, -1]]) for of in (cells, plane))
    near = ((edge[:, None] - edge) ** 2).sum(axis=2) <= _FLAT**2
    near = near[int(near.sum(axis=1).argmax())]
    none = np.zeros((rows, columns), dtype=np.bool_)
    if near.mean() < _STARTS:
        return none
    colour = np.median(edge[near], axis=0)
    off = np.sqrt(((edge - colour) ** 2).sum(axis=1))
    if near.mean() > 0.5 and ((off > _FLAT) & (off <= 3 * _FLAT)).mean() <= _RUNS_ON:
        return joined_to_edge(((cells - colour) ** 2).sum(axis=2) <= _FLAT_JOINED**2)
    for _ in range(6):
        light = np.linalg.lstsq(place[near], edge[near], rcond=None)[0]
        near = ((edge - place @ light) ** 2).sum(axis=1) <= _FLAT**2
        if near.sum() < 3:
            return none
    paper = ((cells - plane @ light) ** 2).sum(axis=2) <= _FLAT_JOINED**2
    corners = paper[[0, 0, -1, -1], [0, -1, 0, -1]].sum()
    if near.mean() < _LIT_SHARE or corners < 3 or np.abs(light[1:]).sum(axis=0).max() > _LIT_MOST:
        return none
    return joined_to_edge(paper)
