"""What `manage.py verify` asks: each app registers its own questions at start."""

from __future__ import annotations

from collections.abc import Callable

# A question in words, and a function that lists what is wrong in plain sentences; nothing wrong, nothing listed.
Question = tuple[str, Callable[[], list[str]]]
_QUESTIONS: list[Question] = []


def register(words: str, find_faults: Callable[[], list[str]]) -> None:
    _QUESTIONS.append((words, find_faults))


def questions() -> list[Question]:
    return list(_QUESTIONS)
