"""How a shop counts wood: in board feet or in cubic decimetres, of which a cubic metre has a thousand.

Amounts are reckoned, compared and added up in board feet, exactly; pages, papers and files say them in the shop's own
measure. What a price is for stays as it was agreed, and so does a figure that is multiplied by one.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.measures import MM3_PER_BOARD_FOOT, cubic_metres, round_half_up


@dataclass(frozen=True, slots=True)
class WoodMeasure:
    """``sign`` stands after an amount and ``name`` in the head of a file's column; a page shows ``places`` decimals, a
    file ``exact`` ones. ``of_a_foot`` is what a board foot comes to."""

    key: str
    words: str
    sign: str
    name: str
    places: int
    exact: int
    of_a_foot: Fraction

    def of(self, feet: Fraction) -> Fraction:
        return feet * self.of_a_foot

    def bare(self, feet: object) -> str:
        """So many board feet, for a column whose head says what they are."""
        return f"{round_half_up(self.of(Fraction(str(feet))), self.places):f}".replace("-", "−")

    def told(self, feet: object) -> str:
        """So many board feet with their measure, from which they never break."""
        return f"{self.bare(feet)}\N{NO-BREAK SPACE}{self.sign}"


BOARD_FEET = WoodMeasure("bf", "board feet", "bf", "bf", 2, 4, Fraction(1))
CUBIC_DECIMETRES = WoodMeasure("dm3", "cubic decimetres", "dm³", "dm3", 2, 4, cubic_metres(MM3_PER_BOARD_FOOT) * 1000)
# What is sold by the cubic metre is told in those, as on the seller's ticket.
CUBIC_METRES = WoodMeasure("m3", "cubic metres", "m³", "m3", 4, 6, cubic_metres(MM3_PER_BOARD_FOOT))
MEASURES = {one.key: one for one in (BOARD_FEET, CUBIC_DECIMETRES, CUBIC_METRES)}
