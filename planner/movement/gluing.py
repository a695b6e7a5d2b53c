"""How far the moisture of pieces may lie apart when they are glued to each other, against what a meter read.

Pieces that differ come to one moisture later, each by its own change: a seam that was flush then has a step, and the
glue line bears it. The rule of two points between pieces is from memory, and the adhesive's data sheet comes first;
that wood be within two points of what its home will make it is E. Wengert's (Woodworking 101, 1998, woodweb.com).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.figures import Figure, Term
from planner.measures import Length, round_half_up
from planner.woods import wood

RULE = "common in the trade, from memory; the adhesive’s data sheet comes first"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a meter showed of one board: percent. ``label`` says which board."""

    wood: str
    moisture: Fraction
    label: str = ""


@dataclass(frozen=True, slots=True)
class Apart:
    """The driest and the wettest of the readings, how many points they lie apart, and the step the wetter wood is left
    with where they meet once both have come to the driest one's moisture. ``too_far``: past the maker's limit."""

    driest: Reading
    wettest: Reading
    by: Figure
    step: Figure
    too_far: bool


def apart_at_glue_up(readings: Sequence[Reading], thickness: Length, limit: Fraction) -> Apart | None:
    """How far readings lie apart, against ``limit`` in percent points. None for fewer than two.

    The step is for a board of ``thickness``, by the wetter wood's own tangential coefficient.

    >>> beech, maple = Reading("beech", Fraction(11)), Reading("maple-hard", Fraction(8))
    >>> found = apart_at_glue_up([beech, maple], Length.of_mm(20), Fraction(2))
    >>> found.by.value, found.step.value, found.too_far
    (Fraction(3, 1), Length('0.259 mm'), True)
    """
    if len(readings) < 2:
        return None
    ordered = sorted(readings, key=lambda reading: reading.moisture)
    driest, wettest = ordered[0], ordered[-1]
    by = wettest.moisture - driest.moisture
    coefficient = wood(wettest.wood).c_tangential or Fraction(0)
    apart = Figure(
        by,
        "points",
        "the wettest reading − the driest",
        RULE,
        (
            Term(f"Wettest, {_named(wettest)}", Figure(wettest.moisture, "%", "as a meter read it")),
            Term(f"Driest, {_named(driest)}", Figure(driest.moisture, "%", "as a meter read it")),
            Term("Yours to allow", Figure(limit, "points", "as set", "the workshop's settings")),
        ),
    )
    step = Figure(
        Length(Fraction(round_half_up(thickness.mm * coefficient * by, 3))),
        "mm",
        "thickness × the wetter wood’s change for each point × points apart",
        dict(wood(wettest.wood).sources)["movement coefficients"],
        (
            Term("Thickness", Figure(thickness, "mm", "as chosen for this board")),
            Term("A point", Figure(coefficient, "per point", wood(wettest.wood).name)),
            Term("Apart", Figure(by, "points", "by their readings")),
        ),
    )
    return Apart(driest, wettest, apart, step, by > limit)


def _named(reading: Reading) -> str:
    name = wood(reading.wood).common_name
    return f"{name} {reading.label}" if reading.label else name
