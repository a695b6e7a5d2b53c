"""Words an offer begins with, each the maker's to change, and sentences that stand on every one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from shopapp.designs.models import Design

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
TERMS = "The deposit is due when the quote is accepted, the rest when the board is handed over or sent."
# What a maker may say; no advice on the law of any place.
CALLED_OFF = (
    "Until wood is bought the deposit is given back whole. After that we keep what wood, supplies and hours have cost "
    "so far and give back the rest; wood bought for you is yours if you wish, once it is paid for."
)
WOOD_VARIES = (
    "Wood varies: grain and tone differ from piece to piece and from the picture. It changes colour with light and "
    "air, most in its first year."
)


def bought_after(deposit: object) -> str:
    """When wood is bought, where a deposit is asked and where none is."""
    if Fraction(deposit):
        return "Wood is bought once the deposit is paid."
    return "Wood is bought once the quote is accepted."


def later_than_wanted(day: date | None, wanted: date | None) -> str:
    """Empty where it is there in time, or nobody said when it is wanted."""
    if not (day and wanted and day > wanted):
        return ""
    days = (day - wanted).days
    return f"{days} {'day' if days == 1 else 'days'} later than wanted"


_WHOSE = {
    "own": "is our own",
    "permission": "is the customer’s, used with their permission",
    "gift": "is used for this private piece only",
    "unknown": "is of somebody we do not know",
}


def whose_pictures(designs: Iterable[Design]) -> str:
    """Whose the pictures are, a sentence for each kind. Who gave a permission is not named."""
    said: dict[str, list[str]] = {}
    for design in designs:
        if design.source == "blank":
            words = "was drawn in this workshop"
        elif design.source == "pattern" and design.rights == "unknown":
            continue
        elif design.rights == "open":
            licence = f": {design.rights_note}" if design.rights_note else ""
            words = f"is under an open licence{licence}"
        else:
            words = _WHOSE[design.rights]
        said.setdefault(words, []).append(design.name)
    return " ".join(f"The picture of {' and of '.join(names)} {words}." for words, names in said.items())[:1000]
