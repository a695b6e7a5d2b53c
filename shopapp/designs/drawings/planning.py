"""The door to the planner for drawings that are compared."""

from __future__ import annotations

from collections.abc import Mapping

from planner.difference import Difference, difference, said
from planner.drawing import WoodLook, difference_svg
from planner.pattern import Pattern

__all__ = ["Difference", "compared", "difference_drawing", "sentences"]


def compared(first: Pattern, second: Pattern) -> Difference:
    return difference(first, second)


def sentences(found: Difference, looks: Mapping[str | None, WoodLook]) -> tuple[str, ...]:
    return said(found, {wood: look.name for wood, look in looks.items() if wood})


def difference_drawing(found: Difference, looks: Mapping[str | None, WoodLook], *, after: bool, title: str) -> str:
    return difference_svg(found, looks, after=after, title=title)
