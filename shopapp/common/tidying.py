"""What the worker puts in order now and then: each app registers its own chores at start."""

from __future__ import annotations

from collections.abc import Callable

from .throttle import forget_old_buckets

_CHORES: list[Callable[[], object]] = [forget_old_buckets]


def register(chore: Callable[[], object]) -> None:
    _CHORES.append(chore)


def tidy() -> None:
    for chore in _CHORES:
        chore()
