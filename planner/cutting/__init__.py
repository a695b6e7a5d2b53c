"""From parts to wood: spares, strips, rough lengths, and what to saw of each wood."""

from planner.cutting.lumber import (
    CuttingError,
    LumberNeed,
    RoughLength,
    SectionNeed,
    Strip,
    WoodNeed,
    lumber_need,
    widest_strips,
)
from planner.cutting.shortest import shortest_use
from planner.cutting.spares import SparesError, spares

__all__ = [
    "CuttingError",
    "LumberNeed",
    "RoughLength",
    "SectionNeed",
    "SparesError",
    "Strip",
    "WoodNeed",
    "lumber_need",
    "shortest_use",
    "spares",
    "widest_strips",
]
