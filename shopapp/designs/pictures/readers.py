"""How far the reading of a picture is."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.common.tasks import task_state
from shopapp.designs.models import Design


@dataclass(frozen=True)
class ReadingState:
    """How far the worker is with a picture: ``waiting``, ``working``, ``read`` or ``failed`` with words."""

    word: str
    trouble: str = ""


def reading_state(design: Design) -> ReadingState:
    if design.is_read or design.source != "picture":
        return ReadingState("read")
    if design.trouble:
        return ReadingState("failed", design.trouble)
    state = task_state(design.reading_task)
    if state.word in ("failed", "unknown"):
        return ReadingState("failed", state.message or "The reading was lost. Bring the picture again.")
    return ReadingState(state.word)
