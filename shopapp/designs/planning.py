"""The door to the planner for patterns: their text, their drawings, their counts."""

from __future__ import annotations

from collections.abc import Mapping

from planner.drawing import WoodLook, pattern_svg
from planner.pattern import Pattern

__all__ = ["Pattern", "counts_of", "pattern_drawing", "pattern_from_text", "pattern_thumbnail"]


def pattern_from_text(text: str) -> Pattern:
    return Pattern.from_text(text)


def pattern_drawing(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> str:
    return pattern_svg(pattern, looks, title=title)


def pattern_thumbnail(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> str:
    return pattern_svg(pattern, looks, numbers=False, marks=False, lines=False, title=title)


def counts_of(pattern: Pattern) -> dict[str, int]:
    return pattern.counts()
