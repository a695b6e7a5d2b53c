"""How much of a picture is still to be seen in the woods chosen: edges, lights and shades, and edges made up.

The picture's edges are its cell sides where two colours differ by CIEDE2000 8 or more; where they differ by less
the side is flat. An edge weighs min(difference, 30), and in wood as much of it is kept as the woods' difference
makes of min(difference, 12), at most all. The picture's outline is an edge of full weight: what stands against the
background must be told from the wood of the background. The three figures are this planner's own; common practice,
no source: that an eye follows contrast between neighbours before it judges a colour.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.matching.nearest import Rgb
from planner.matching.neighbours import Neighbours, neighbours_of
from planner.picture.colour import Floats, ciede2000, srgb_to_lab

EDGE_FROM = 8.0
FULL_WEIGHT = 30.0
ENOUGH = 12.0
# Lightness steps (CIELAB L*) beyond this count as one side being the lighter.
STEP = 8.0


@dataclass(frozen=True, slots=True)
class Scores:
    """How a picture fares in the woods chosen for it.

    ``legibility``, 0 to 1: how much of the strength of its edges is kept. ``order``, 0 to 1: the share of sides with
    a clear step in lightness where the lighter is still the lighter. ``false_edges``, 0 to 1: the share of flat sides
    that became edges. ``distance``: mean CIEDE2000 between cell and wood. A picture without edges keeps all of them.
    """

    legibility: float
    order: float
    false_edges: float
    distance: float


@dataclass(frozen=True, slots=True)
class Ground:
    """What a choice of woods is judged by. Colours and woods as CIELAB, ``differ`` (pairs) and ``step`` (pairs) the
    CIEDE2000 and the L* and ``louder`` the chroma C* between neighbouring colours, ``apart`` (colours × woods) and
    ``between`` (woods × woods) differences, ``lightness`` and ``chroma`` of the woods, and ``behind`` (woods) how far
    each is from the background's, None where that is not known."""

    neighbours: Neighbours
    differ: Floats
    step: Floats
    louder: Floats
    apart: Floats
    between: Floats
    lightness: Floats
    chroma: Floats
    behind: Floats | None


def ground_of(
    neighbours: Neighbours, colours: Sequence[Rgb], woods: Sequence[Rgb], background_rgb: Rgb | None
) -> Ground:
    labs = srgb_to_lab(np.array(list(colours), dtype=np.float64).reshape(-1, 3))
    wood_labs = srgb_to_lab(np.array(list(woods), dtype=np.float64).reshape(-1, 3))
    one, other = neighbours.pairs[:, 0], neighbours.pairs[:, 1]
    return Ground(
        neighbours=neighbours,
        differ=ciede2000(labs[one], labs[other]),
        step=np.asarray(labs[one, 0] - labs[other, 0], dtype=np.float64),
        louder=np.asarray(np.hypot(*labs[one, 1:].T) - np.hypot(*labs[other, 1:].T), dtype=np.float64),
        apart=ciede2000(labs[:, None, :], wood_labs[None, :, :]),
        between=ciede2000(wood_labs[:, None, :], wood_labs[None, :, :]),
        lightness=np.asarray(wood_labs[:, 0], dtype=np.float64),
        chroma=np.asarray(np.hypot(wood_labs[:, 1], wood_labs[:, 2]), dtype=np.float64),
        behind=None if background_rgb is None else ciede2000(wood_labs, srgb_to_lab(background_rgb)),
    )


def scores_of(ground: Ground, taken: NDArray[np.int64]) -> Scores:
    """The scores when colour i becomes wood ``taken[i]``, -1 for a colour that no cell wears."""
    near = ground.neighbours
    one, other = taken[near.pairs[:, 0]], taken[near.pairs[:, 1]]
    wood_differ = ground.between[one, other]
    edge = ground.differ >= EDGE_FROM
    weight = near.sides * np.minimum(ground.differ, FULL_WEIGHT)
    kept = np.minimum(1.0, wood_differ / np.maximum(np.minimum(ground.differ, ENOUGH), 1e-9))
    weight_of_all = float(weight[edge].sum())
    weight_kept = float((weight * kept)[edge].sum())
    if ground.behind is not None:
        outline = near.outline * FULL_WEIGHT
        weight_of_all += float(outline.sum())
        weight_kept += float((outline * np.minimum(1.0, ground.behind[taken] / ENOUGH)).sum())
    stepped = edge & (np.abs(ground.step) > STEP)
    in_order = np.sign(ground.step) == np.sign(ground.lightness[one] - ground.lightness[other])
    flat = int(near.sides[~edge].sum() + near.alike.sum())
    return Scores(
        legibility=_share(weight_kept, weight_of_all, whole=1.0),
        order=_share(float(near.sides[stepped & in_order].sum()), float(near.sides[stepped].sum()), whole=1.0),
        false_edges=_share(float(near.sides[~edge & (wood_differ >= EDGE_FROM)].sum()), flat, whole=0.0),
        distance=_share(
            float((near.counts * ground.apart[np.arange(len(taken)), taken]).sum()), int(near.counts.sum()), whole=0.0
        ),
    )


def _share(part: float, of: float, *, whole: float) -> float:
    return part / of if of else whole


def score(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    wood_of: Sequence[str | None],
    *,
    background_rgb: Rgb | None = None,
) -> Scores:
    """Score any choice, such as one a maker made by hand. ``cells`` rows × columns of colour indices, -1 background;
    ``wood_of[i]`` the wood of colour i, None to leave it to the background, whose wood has ``background_rgb``. Raises
    PlannerError for a wood that is not among ``woods``, or not one a colour.

    >>> score(np.array([[0, 1]]), [(250, 250, 250), (9, 9, 9)], {"a": (250, 250, 250), "b": (9, 9, 9)}, ["a", "b"])
    Scores(legibility=1.0, order=1.0, false_edges=0.0, distance=0.0)
    """
    names = list(woods)
    if missing := {wood for wood in wood_of if wood is not None} - set(names):
        raise PlannerError(f"“{min(missing)}” is not among the woods.", mend="Choose another for it.")
    if len(wood_of) != len(colours):
        raise PlannerError(f"There are {len(colours)} colours and {len(wood_of)} woods.", mend="Choose one a colour.")
    left = np.array([wood is None for wood in wood_of], dtype=bool)
    near = neighbours_of(without(cells, left), len(colours))
    taken = np.array([names.index(wood) if wood is not None else 0 for wood in wood_of], dtype=np.int64)
    return scores_of(ground_of(near, colours, list(woods.values()), background_rgb), taken)


def without(cells: NDArray[np.int64], left: NDArray[np.bool_]) -> NDArray[np.int64]:
    """``cells`` with the colours that are ``left`` to the background made background."""
    if not left.any():
        return cells
    table = np.append(np.where(left, -1, np.arange(len(left))), -1).astype(np.int64)
    return np.asarray(table[cells], dtype=np.int64)
