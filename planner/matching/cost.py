"""What a choice of woods costs a picture.

The cost is the mean CIEDE2000 between cell and wood, and ``shape_price`` times what the wood loses of the
picture's shapes: contrast at its edges, a smaller part for a step whose lighter side became the darker, for a flat
side that became an edge, and for a wood much more colourful beside its neighbour than drawn, or shadows turn red. Both
are means, so a picture enlarged keeps its woods. At price 0 every colour takes its nearest wood and neighbours melt
into one another; the dearer the shapes, the further a colour may go to be told from its neighbours.
"""

from __future__ import annotations

import numpy as np

from planner.matching.scores import EDGE_FROM, ENOUGH, FULL_WEIGHT, STEP, Ground
from planner.picture.colour import Floats

# The prices and shares below were set by eye, on faces, drawings with outlines and shaded ones, in four to eight woods.
# A picture that loses all of its edges loses so much, in CIEDE2000 a cell, at a price of 1.
SHAPES = 100.0
# Shares of the contrast's price.
REVERSED_SHARE = 0.7
FALSE_SHARE = 0.4
# Each step of chroma (CIELAB C*) between two woods beyond so many more than drawn.
LOUD_SHARE, LOUD_FROM = 0.5, 15.0
# The share of sides below which a picture has hardly any edges.
HARDLY_ANY = 0.05


def alone_cost(ground: Ground, price: float) -> Floats:
    """What each colour costs in each wood by itself (n × m), divided by the price: its distance, and how much of the
    outline against the background is lost."""
    near = ground.neighbours
    alone = near.counts[:, None] * ground.apart / (price * max(1.0, float(near.counts.sum())))
    if ground.behind is not None:
        lost = 1 - np.minimum(1.0, ground.behind / ENOUGH)
        alone = alone + near.outline[:, None] * lost * SHAPES / _edges(ground)
    return np.asarray(alone, dtype=np.float64)


def joint_cost(ground: Ground) -> Floats:
    """What each two colours lose of the picture between them in each two woods, at a price of 1: (n·m) × (n·m)."""
    near = ground.neighbours
    colours, woods = len(near.counts), len(ground.lightness)
    joint = np.zeros((colours, woods, colours, woods))
    between = ground.between[None]
    darker = ground.lightness[:, None] - ground.lightness[None, :]
    louder = ground.chroma[:, None] - ground.chroma[None, :]
    each = near.sides * SHAPES / (FULL_WEIGHT * _edges(ground))
    # A few hundred pairs at a time: a picture of many colours has tens of thousands.
    for start in range(0, len(near.pairs), 512):
        chunk = slice(start, start + 512)
        one, other = near.pairs[chunk].T
        differ, step, loud = (x[chunk, None, None] for x in (ground.differ, ground.step, ground.louder))
        weight = np.minimum(differ, FULL_WEIGHT)
        lost = weight * (1 - np.minimum(1.0, between / np.maximum(np.minimum(differ, ENOUGH), 1e-9)))
        # Turned round by little troubles little: the full part is reached at one clear step.
        turned = np.clip(-np.sign(step) * darker[None] / STEP, 0.0, 1.0) * (np.abs(step) > STEP)
        made_up = np.maximum(np.minimum(between, FULL_WEIGHT) - EDGE_FROM, 0.0)
        louder_than_drawn = np.maximum(np.abs(louder[None]) - np.sign(louder[None]) * loud - LOUD_FROM, 0.0)
        cost = np.where(differ >= EDGE_FROM, lost + REVERSED_SHARE * weight * turned, FALSE_SHARE * made_up)
        cost = (cost + LOUD_SHARE * louder_than_drawn) * each[chunk, None, None]
        joint[one, :, other, :] = cost
        joint[other, :, one, :] = cost.transpose(0, 2, 1)
    return joint.reshape(colours * woods, colours * woods)


def _edges(ground: Ground) -> float:
    """How many full edges the picture's sides come to; in a picture that has hardly any, a few, so that a flat one
    is not torn apart over its last edge."""
    near = ground.neighbours
    weight = np.minimum(ground.differ, FULL_WEIGHT) / FULL_WEIGHT
    edges = float((near.sides * weight)[ground.differ >= EDGE_FROM].sum())
    if ground.behind is not None:
        edges += float(near.outline.sum())
    every = float(near.sides.sum() + near.alike.sum() + near.outline.sum())
    return max(edges, HARDLY_ANY * every, 1.0)
