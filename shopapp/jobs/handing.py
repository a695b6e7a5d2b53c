"""What else happens when a job's boards are handed over, or were not after all: apps above this one say at start, and
it is done in the same transaction."""

from __future__ import annotations

from collections.abc import Callable

from shopapp.people.models import Member

from .models import Job

Act = Callable[[Member | None, Job], None]
_DONE: list[tuple[Act, Act]] = []


def register(handed_over: Act, not_after_all: Act) -> None:
    _DONE.append((handed_over, not_after_all))


def handed_over(who: Member | None, job: Job) -> None:
    for act, _ in _DONE:
        act(who, job)


def not_after_all(who: Member | None, job: Job) -> None:
    for _, act in _DONE:
        act(who, job)
