"""Where an entry's key leads: whoever logs time under keys of its own says so at start."""

from __future__ import annotations

from collections.abc import Callable

_HOMES: dict[str, Callable[[int], str]] = {}


def register(word: str, to: Callable[[int], str]) -> None:
    """Keys "``word`` 7" have their log at ``to(7)``."""
    _HOMES[word] = to


def home_of(key: str) -> str:
    """The address of a key's log; empty where nobody said."""
    word, _, number = key.partition(" ")
    return _HOMES[word](int(number)) if word in _HOMES and number.isascii() and number.isdigit() else ""
