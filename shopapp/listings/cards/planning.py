"""The door to the planner for cards: cautions with their sources, and how wide words come out on a small paper."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from planner.cautions import Caution, caution_of, is_said_of_all
from planner.drawing.marking.letters import wide, wrapped
from planner.woods import WOODS, cautions_for

__all__ = ["lines_of", "nut_oil", "of_contact", "oily_rags", "source_of", "where_food_lies"]


def oily_rags() -> Caution:
    return caution_of("oily_rags")


def nut_oil() -> Caution:
    return caution_of("nut_oil")


def where_food_lies(key: str, use: str) -> list[Caution]:
    """What is said against one wood of a board that food comes near, without what is said of every board."""
    return [
        caution
        for caution in (cautions_for(WOODS[key], use) if key in WOODS else ())
        if caution.kind == "food" and not is_said_of_all(caution.kind, caution.source)
    ]


def of_contact(key: str) -> list[Caution]:
    """What is known of a wood's dust, for whoever sands it or cannot bear it; no wood is called harmless."""
    return [caution for caution in (WOODS[key].cautions if key in WOODS else ()) if caution.kind == "dust"]


def source_of(key: str) -> str:
    """Where it was read what is said of a wood as an allergen."""
    return next((c.source for c in (WOODS[key].cautions if key in WOODS else ()) if c.kind == "allergen"), "")


def lines_of(paragraphs: Sequence[str], size: float, room: float) -> int:
    """How many lines paragraphs of type ``size`` take in a ``room`` of the same unit; letters are reckoned a little
    wider than they are. A word that is wider than the room is broken."""
    return sum(
        ceil(max(1.0, wide(line, size) / room))
        for words in paragraphs
        for typed in words.splitlines()
        for line in (wrapped(typed, size, room) or [""])
    )
