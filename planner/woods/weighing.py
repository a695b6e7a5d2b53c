"""What a board weighs: each wood's volume in it by that wood's density at its moisture, and how far off it may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.woods import Wood, wood
from planner.woods.mass import density

MM3_PER_M3 = 10**9

# Coefficient of variation of specific gravity, "average" of clear wood of one species: Wood Handbook, Table 5-6, from
# memory. Boards out of one plank are off the same way, so nothing is taken off for there being many.
SPREAD = Fraction(1, 10)
_SPREAD_SOURCE = "coefficient of variation of specific gravity, Wood Handbook, Table 5-6 (from memory)"
_EQUATIONS = "Wood Handbook, FPL-GTR-282, Eq. 4-9 to 4-14"


@dataclass(frozen=True, slots=True)
class Weighed:
    """``mass`` of one board in kilograms and ``off``, how far one board in three may be off it. ``unknown`` are woods
    left out of both, of whose density nothing was found: the board weighs more. ``mass`` is None where all are."""

    mass: Figure | None
    off: Figure | None
    unknown: tuple[str, ...]

    def as_record(self) -> dict[str, Any]:
        """JSON-safe and exact."""
        return {
            "mass": None if self.mass is None else self.mass.as_record(),
            "off": None if self.off is None else self.off.as_record(),
            "unknown": list(self.unknown),
        }


def weighed(volumes_mm3: Mapping[str, Fraction], moisture: Fraction) -> Weighed:
    """What a board of those finished volumes weighs at ``moisture`` percent, borders and glued joints counted as wood;
    glue and finish are left out.

    >>> dm3 = Fraction(10**6)
    >>> found = weighed({"maple-hard": dm3, "wenge": dm3}, Fraction(12))
    >>> float(found.mass.value), float(found.off.value), found.unknown
    (0.7056, 0.07056, ('wenge',))
    """
    terms, total, unknown = [], Fraction(0), []
    for name, volume in volumes_mm3.items():
        found = wood(name)
        at = density(found, moisture)
        if at is None:
            unknown.append(name)
            continue
        # A tenth of a kilogram a cubic metre is finer than any table.
        at = Fraction(round_half_up(at, 1))
        mass = at * volume / MM3_PER_M3
        total += mass
        terms.append(
            Term(
                found.name,
                Figure(
                    mass,
                    "kg",
                    "volume × density",
                    _source(found),
                    (
                        Term("Volume", Figure(volume / 10**6, "dm³", "in the finished board")),
                        Term("Density", Figure(at, "kg/m³", "at that moisture")),
                    ),
                ),
            )
        )
    if not terms:
        return Weighed(None, None, tuple(unknown))
    terms.append(Term("Moisture", Figure(moisture, "%", "of the shop, where it is weighed")))
    mass_figure = Figure(
        total,
        "kg",
        "each wood’s volume × its density at the moisture; glue and finish left out",
        _EQUATIONS,
        tuple(terms),
    )
    off = Figure(
        total * SPREAD,
        "kg",
        "a tenth: two single boards in three lie within it of their species’ mean",
        _SPREAD_SOURCE,
        (Term("Weighs", mass_figure),),
    )
    return Weighed(mass_figure, off, tuple(unknown))


def _source(found: Wood) -> str:
    sources = dict(found.sources)
    return sources.get("specific gravity", "")
