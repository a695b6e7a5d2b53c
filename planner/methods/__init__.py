"""How a board could be built: every way counted, timed and priced, with what its weakest seam carries.

    rows      tiles, runs and deep rows, glued row by row, the rows either way
    panels    strips glued side by side and crosscut into slices, each one a row: end grain up, or face up

counting   the pure core: rows of pieces to cuts, joints, panels and what kerf and grip take
effort     minutes as they grow with the copies, and from how many on one way takes no longer than another
work       one way's work for so many copies, and the figures shown of it
remedies   what mends a weak seam, and what each costs
comparing  all of it side by side, and which to take
record     its JSON form
"""

from planner.methods.comparing import COPIES, Choice, Comparison, Mended, Paying, compare
from planner.methods.effort import MOST_COPIES, BreakEven, Effort, Step, break_even
from planner.methods.record import kept_json, to_json
from planner.methods.terms import (
    END_GRAIN_SOURCE,
    END_GRAIN_WORDS,
    WAYS,
    Made,
    Maker,
    MethodError,
    Remedy,
    Way,
    Weakest,
)

__all__ = [
    "COPIES",
    "END_GRAIN_SOURCE",
    "END_GRAIN_WORDS",
    "MOST_COPIES",
    "WAYS",
    "BreakEven",
    "Choice",
    "Comparison",
    "Effort",
    "Made",
    "Maker",
    "Mended",
    "MethodError",
    "Paying",
    "Remedy",
    "Step",
    "Way",
    "Weakest",
    "break_even",
    "compare",
    "kept_json",
    "to_json",
]
