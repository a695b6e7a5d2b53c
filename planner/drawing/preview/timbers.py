"""The grain of every wood of the table, each value with what it rests on."""

from __future__ import annotations

from planner.drawing.preview.timber import Pores, Rings, Timber
from planner.woods import WOODS


def timber_of(wood_id: str) -> Timber:
    """The grain of a wood; one that is not in the table gets that of a fine diffuse-porous wood."""
    pores = WOODS[wood_id].pores if wood_id in WOODS else "diffuse-porous, fine"
    if pores.startswith("ring"):
        return Timber(Rings(2.2, late=0.2, early_mm=0.6), Pores(0.25, 12, 6, late=0.05))
    return Timber(Rings(2.2, late=0.1), Pores(0.07, 60, 2))
