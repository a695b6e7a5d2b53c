"""How far the reading of a picture is, and whose the picture is."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.common.tasks import task_state
from shopapp.designs.models import Design, RightsAnswer

from .rights import question_before, rights_in_words


@dataclass(frozen=True)
class ReadingState:
    """How far the worker is with a picture: ``waiting``, ``working``, ``read``, ``no grid`` or ``failed``, the last
    two with words."""

    word: str
    trouble: str = ""


def reading_state(design: Design) -> ReadingState:
    if design.is_read or design.source != "picture":
        return ReadingState("read")
    if design.trouble:
        return ReadingState("no grid" if design.no_grid else "failed", design.trouble)
    state = task_state(design.reading_task)
    if state.word in ("failed", "unknown"):
        return ReadingState("failed", state.message or "The reading was lost. Bring the picture again.")
    return ReadingState(state.word)


@dataclass(frozen=True)
class Question:
    """What is asked before a board is quoted or listed."""

    purpose: str
    words: str
    form: object = None


def whose_page(design: Design) -> dict[str, object]:
    """Whose the picture is, what is still to be asked, and what was answered before."""
    asked = ((purpose, question_before(design, purpose)) for purpose, _ in RightsAnswer.PURPOSES)
    return {
        "design": design,
        "rights": rights_in_words(design),
        "questions": [Question(purpose, words) for purpose, words in asked if words],
        "answers": list(design.rights_answers.select_related("who")),
    }
