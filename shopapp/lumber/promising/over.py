"""What became of wood that was taken, once whoever took it is done: they say at start which of their keys are over."""

from __future__ import annotations

from collections.abc import Callable

_TOLD: dict[str, Callable[[int], str]] = {}


def register(word: str, told: Callable[[int], str]) -> None:
    """``told(7)`` says what became of wood taken under "``word`` 7", as "used up in X"; empty while it is out."""
    _TOLD[word] = told


def became_of(key: str) -> str:
    """Empty where wood taken under the key is still out, or nobody said."""
    word, _, number = key.partition(" ")
    return _TOLD[word](int(number)) if word in _TOLD and number.isascii() and number.isdigit() else ""
