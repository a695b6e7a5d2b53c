"""From parts to wood: spares, strips, rough lengths, and what to saw of each wood."""

from planner.cutting.lumber import CuttingError, LumberNeed, SectionNeed, WoodNeed, lumber_need
from planner.cutting.spares import spares

__all__ = ["CuttingError", "LumberNeed", "SectionNeed", "WoodNeed", "lumber_need", "spares"]
