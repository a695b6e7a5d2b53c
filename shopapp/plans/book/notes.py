"""A page for notes and actual times: the operations as the time log names them, with their likely minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopapp.schedule.log.planning import WHOLE, operation_words

from .told import Told

RULED_LINES = range(8)


@dataclass(frozen=True)
class TimedLine:
    """``counted`` and ``likely`` are figures of the plan."""

    words: str
    counted: Mapping
    likely: Mapping


@dataclass(frozen=True)
class Notes:
    """``whole`` is what the log calls the time that is not written to one operation."""

    lines: tuple[TimedLine, ...]
    whole: str
    hours: Mapping
    ruled: range = RULED_LINES


def notes_of(told: Told) -> Notes:
    hours = told.record["figures"]["hours"]
    lines = tuple(
        TimedLine(term["name"], term["figure"]["terms"][0]["figure"], term["figure"]) for term in hours["terms"]
    )
    return Notes(lines, operation_words(WHOLE), hours)
