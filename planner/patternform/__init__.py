"""A pattern as text for other hands: JSON that documents itself, and grids pasted from elsewhere.

The text of runs and the palette PNG are the pattern's own (``Pattern.to_text``, ``Pattern.to_png``).
"""

from planner.patternform.jsonform import FORM, VERSION, PatternFile, from_json, to_json
from planner.patternform.pasted import BACKGROUND_MARKS, KINDS, MOST_MARKS, Pasted, read_pasted

__all__ = [
    "BACKGROUND_MARKS",
    "FORM",
    "KINDS",
    "MOST_MARKS",
    "VERSION",
    "Pasted",
    "PatternFile",
    "from_json",
    "read_pasted",
    "to_json",
]
