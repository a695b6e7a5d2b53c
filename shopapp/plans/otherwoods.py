"""A drawing in other woods than it was kept in, as an address asks for it: "padauk~sapele" lays sapele for padauk.

Nothing is kept by it; whoever keeps a plan of it keeps the drawing in these woods first.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from planner.errors import PlannerError
from shopapp.designs.models import PatternVersion
from shopapp.designs.planning import Pattern
from shopapp.lumber.planning import WOODS

_WORDS = re.compile(r"[a-z0-9-]{1,60}~[a-z0-9-]{1,60}(,[a-z0-9-]{1,60}~[a-z0-9-]{1,60}){0,40}")


def say(swaps: Mapping[str, str]) -> str:
    """As an address says it."""
    return ",".join(f"{was}~{now}" for was, now in sorted(swaps.items()))


def read(text: str, version: PatternVersion, on_hand: Collection[str]) -> dict[str, str]:
    """Which wood is laid for which. Raises PlannerError for what names no wood of the drawing, or none on hand."""
    if not text:
        return {}
    if not _WORDS.fullmatch(text):
        raise PlannerError(
            "What woods are to be laid for which cannot be read.", mend="Choose it anew where the price is lowered."
        )
    swaps = dict(pair.split("~") for pair in text.split(","))
    laid = set(Pattern.from_text(version.pattern).woods)
    for was, now in swaps.items():
        if was not in laid:
            raise PlannerError(
                f"{_name(was)} is not in this drawing.", mend="Choose it anew where the price is lowered."
            )
        if now not in on_hand:
            raise PlannerError(f"{_name(now)} is not among the woods on hand.", mend="Add it to the woods on hand.")
    return swaps


def laid_in(pattern: Pattern, swaps: Mapping[str, str]) -> Pattern:
    """The pattern with every wood of ``swaps`` laid in another."""
    table = [None, *(swaps.get(wood, wood) for wood in pattern.woods)]
    return Pattern.of([[table[number] for number in row] for row in pattern.rows])


def drawing_in(version: PatternVersion, swaps: Mapping[str, str]) -> PatternVersion:
    """The drawing in those woods, unsaved; itself where nothing is laid in another."""
    if not swaps:
        return version
    pattern = laid_in(Pattern.from_text(version.pattern), swaps)
    return PatternVersion(
        design=version.design,
        number=version.number,
        name=version.name,
        pattern=pattern.to_text(),
        height=version.height,
        width=version.width,
        choices=version.choices,
    )


def in_words(swaps: Mapping[str, str], names: Mapping[str, str]) -> str:
    """Which wood is laid for which, as somebody would say it."""
    return ", ".join(f"{names.get(now, now)} for {names.get(was, was)}" for was, now in sorted(swaps.items()))


def _name(wood: str) -> str:
    return WOODS[wood].name if wood in WOODS else f"“{wood}”"
