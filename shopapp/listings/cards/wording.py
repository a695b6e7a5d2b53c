"""What a care card says of a board by what it is for. Nothing here clears a board for anything: it says what it was
made for, what it was not, and where the data sheet comes first."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class OfUse:
    """Sentences by what a board is for (common practice, no source)."""

    fit: str
    unfit: str
    washing: str
    short: str


_NO_KNIFE = "It is not a knife board: its face is a picture of tiles, and a blade scores them and opens their joints."
# A board whose use nobody wrote down is told of as one to look at.
_TO_LOOK_AT = "Dust it with a soft, dry cloth. Keep water and polish off it."
_WALL = OfUse(
    "Made to hang on a wall indoors, out of strong sun and away from heaters, stoves and damp walls.",
    f"Not for food, hot things, wet rooms or outdoors. {_NO_KNIFE}",
    _TO_LOOK_AT,
    "Dust it dry. Not for food; not a knife board.",
)
_WET = (
    "Wipe it with a damp cloth, with a drop of mild soap where it needs one, and once more without. Dry it at once and "
    "stand it on edge until it is dry through. Never soak it, and keep it out of the dishwasher."
)
OF_USE = {
    "wall": _WALL,
    "serving": OfUse(
        "Made to serve dry food on at the table.",
        f"{_NO_KNIFE} Not for raw meat or fish, for wet food left standing, for hot pans, the oven or the microwave.",
        _WET,
        "Wipe it damp, dry it at once. Never soak it; no dishwasher. Not a knife board.",
    ),
    "trivet": OfUse(
        "Made to stand hot things on that are dry underneath.",
        f"Not for pans straight from a flame or the oven: heat marks finishes and softens some glues. {_NO_KNIFE} "
        "Not for food laid on it bare.",
        _WET,
        "Wipe it damp, dry it at once. Not for pans straight from a flame; not a knife board.",
    ),
}
NOT_WRITTEN = OfUse(
    "What it was made for was not written down: take it as a picture to look at, or ask the maker.",
    f"Not for food or hot things before you have asked. {_NO_KNIFE}",
    _TO_LOOK_AT,
    "Dust it dry. Ask the maker before any other use; not a knife board.",
)

ANEW = (
    "When it looks dull or dry: a thin coat of the same finish on the clean, dry board, laid on, wiped off and left to "
    "cure as its data sheet says, and never another finish over it."
)
ANEW_UNKNOWN = "What it was finished with was not written down: ask the maker before you lay anything on it."
NO_SHEET = "Ask the maker for its data sheet."
CHANGES = (
    "Wood moves with the air and changes colour with light, most in its first year; a hair line at a joint is no fault."
)
OTHERS = "Named because it is known of, not because it is likely. Other woods and finishes can trouble somebody too."
ABROAD = "Check papers before sending it abroad."

_NUT = re.compile(r"\b(?:wal|hazel|pea|chest)?nuts?\b|\b(?:almond|pecan|cashew|macadamia|pistachio)s?\b", re.IGNORECASE)
# What nobody here has looked into is claimed on no card; that something is not so may be written.
_CLAIM = re.compile(
    r"\b(?<!not )(?<!nor )(?:food[ -]?safe|safe for food|fda[ -]approved|approved|certified)\b", re.IGNORECASE
)


def of_use(use: str) -> OfUse:
    """A board of face grain is never one to cut on, whatever it was called."""
    return OF_USE.get("serving" if use == "knife" else use, NOT_WRITTEN)


def names_a_nut(finish: str) -> bool:
    """Whether a finish calls itself after a nut, like walnut oil."""
    return bool(_NUT.search(finish))


def claim_in(words: str) -> str:
    """The first words that claim what nobody has looked into; "" where there are none."""
    found = _CLAIM.search(words)
    return found[0] if found else ""


def too_much(claim: str) -> str:
    return f"“{claim}” is more than anybody here has looked into. Say what it is made of and what it is for."
