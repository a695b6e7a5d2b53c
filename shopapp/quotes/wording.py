"""Words an offer begins with, each the maker's to change."""

from __future__ import annotations

# How a board of each use is looked after, in a sentence (common practice, no source).
CARE = {
    "wall": "Hang it indoors, out of strong sun and away from heaters and damp walls; dust it with a dry cloth.",
    "serving": "Wipe it with a damp cloth and dry it at once, standing on edge; never soak it, and keep it out of the "
    "dishwasher. Oil it when it looks dry.",
    "trivet": "For hot things that are dry underneath, not for pans straight from a flame; wipe it with a damp cloth "
    "and dry it at once. Oil it when it looks dry.",
}
LEFT_OUT = {
    "wall": "Putting it up, and the screws for your wall.",
    "serving": "Knives: cutting on it is not what it is made for.",
    "trivet": "Marks that heat leaves on a finish.",
}
TERMS = "Wood is a living material: tone and grain differ from the drawing. Half on order, half when it is handed over."
VALID_DAYS = 30
