"""What a pattern on the bench would be better without, each with a mend.

Loose single tiles, slivers one tile long, left and right that are nearly alike, and seams that no long grain lies
across. Nothing here is a fault: an eye is one tile, a chequered field is meant. So what is of one kind is told once,
with its cells, and the mend is offered as cells to lay anew. Common practice, no source, except for the seams, whose
weakness is that of end-grain joints (Wood Handbook, FPL-GTR-190, chapter 10).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from planner.mending.hint import Hint, Lay, Mend, Names
from planner.mending.loose import loose_tiles
from planner.mending.seams import weak_seams
from planner.mending.slivers import slivers
from planner.mending.symmetry import near_symmetry
from planner.pattern import Pattern

__all__ = ["Hint", "Lay", "Mend", "hints_of"]


def hints_of(
    pattern: Pattern, names: Mapping[str, str] | None = None, *, least_carried: Fraction = Fraction(1, 4)
) -> tuple[Hint, ...]:
    """Everything worth pointing out on a pattern, in the order: single tiles, slivers, likeness of the sides, seams.

    ``names`` are the woods' names for the words, by id. ``least_carried`` is the share of the rows that should have
    long grain across a seam (the shop's own setting). Any pattern up to the largest side; never an error.

    >>> eye = Pattern.of([["beech"] * 5, ["beech", "beech", "walnut-black", "beech", "beech"], ["beech"] * 5])
    >>> hint, = hints_of(eye)
    >>> hint.kind, hint.cells, hint.mend.lay
    ('single', ((1, 2),), (Lay(row=1, column=2, wood='beech'),))
    """
    called = Names(names or {})
    return (
        *loose_tiles(pattern, called),
        *slivers(pattern, called),
        *near_symmetry(pattern, called),
        *weak_seams(pattern, called, least_carried),
    )
