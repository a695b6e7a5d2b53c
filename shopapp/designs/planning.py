"""The door to the planner for patterns: their text, their drawings, their counts, and what may be kept of them."""

from __future__ import annotations

from collections.abc import Mapping

from planner.drawing import WoodLook, pattern_svg, thumbnail_svg
from planner.errors import PlannerError
from planner.pattern import Pattern

__all__ = ["Pattern", "check_woods", "counts_of", "pattern_drawing", "pattern_from_text", "pattern_thumbnail"]


def pattern_from_text(text: str) -> Pattern:
    return Pattern.from_text(text)


def pattern_drawing(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> str:
    return pattern_svg(pattern, looks, title=title)


def pattern_thumbnail(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> str:
    return thumbnail_svg(pattern, looks, title)


def counts_of(pattern: Pattern) -> dict[str, int]:
    return pattern.counts()


def check_woods(pattern: Pattern, looks: Mapping[str | None, WoodLook]) -> None:
    """What may be kept as a drawing: one tile of wood at least, and no wood this maker never had.

    Raises PlannerError naming the woods; ``looks`` are those of every wood ever on hand, so that a drawing outlives
    a wood that ran out.
    """
    if not pattern.woods:
        raise PlannerError(
            "Every cell is background, so there is nothing to lay yet.",
            mend="Lay at least one tile of wood.",
            field="pattern",
        )
    never = [wood for wood in pattern.woods if wood not in looks]
    if never:
        names = ", ".join(f"“{wood[:40]}”" for wood in never[:8]) + (" and others" if len(never) > 8 else "")
        one = len(never) == 1
        raise PlannerError(
            f"{names} {'is' if one else 'are'} in the pattern and {'was' if one else 'were'} never among your woods.",
            mend=f"Add {'it' if one else 'them'} under Woods first, or lay "
            f"{'a wood' if one else 'woods'} on hand in {'its' if one else 'their'} place.",
            field="pattern",
        )
