"""Working drawings of a kept reckoning as SVG: one path a wood, marks as well as colour, sizes in the maker's unit.

places      where every piece lies in the blank
woods       woods with marks that can be read in grey, and their key
dimensions  dimension lines that can be measured back
laid        the pattern as it is laid on the bench, face up or down
"""

from planner.drawing.working.laid import laid_svg

__all__ = ["laid_svg"]
