"""What the whole shop holds of a person: each app registers its own part at start (apps.py).

A part tells what a person had, gives out everything it holds of them, says what would be destroyed and what must stay,
and forgets them. `people` asks every part, and knows no more of what they keep.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from .models import Person


@dataclass(frozen=True)
class Happening:
    """One thing a person had or that was done for them: when, in a sentence, and the page it leads to."""

    at: datetime
    words: str
    url: str = ""


@dataclass(frozen=True)
class Part:
    """One app's part of the book; see ``register``."""

    history: Callable[[Person], list[Happening]]
    out: Callable[[Person], dict[str, Any]]
    forget: Callable[[Person, str], list[str]]
    keeps: Callable[[Person], str]
    goes: Callable[[Person], list[str]]
    explains: Mapping[str, str] = field(default_factory=dict)


_PARTS: dict[str, Part] = {}


def nothing(person: Person) -> list[str]:
    return []


def register(
    app: str,
    *,
    history: Callable[[Person], list[Happening]],
    out: Callable[[Person], dict[str, Any]],
    forget: Callable[[Person, str], list[str]],
    keeps: Callable[[Person], str],
    goes: Callable[[Person], list[str]] = nothing,
    explains: Mapping[str, str] | None = None,
) -> None:
    """Take up ``app``'s part, each function in a number of queries that does not grow with what a person had.

    ``history(person)`` what they had, in any order; ``url`` a page of the owner's.
    ``out(person)`` everything held of them, JSON-safe (no floats, no clock: the same until something is changed), under
    keys that ``explains`` says in words; {} where there is nothing. What `forget` destroys must stand in it, files by
    their SHA-256: its hash is what is left of them.
    ``forget(person, instead)`` destroys every name, word and file of theirs within the transaction of the erasure and
    puts ``instead`` where a name has to stand; returns sentences of what was destroyed. The person still has their name
    while it is called. `common.erasing` strikes names out of texts and audit lines and takes files away. It is called
    anew when what must stay may go at last, so it leaves alone what is forgotten already.
    ``keeps(person)`` says in a sentence what must stay as it is, and why and until when; "" where all of it can go.
    ``goes(person)`` the sentences that `forget` would tell, before it is done.
    """
    _PARTS[app] = Part(history, out, forget, keeps, goes, explains or {})


def apps() -> list[str]:
    return list(_PARTS)


def history_of(person: Person) -> list[Happening]:
    """What a person had, from every app, newest first."""
    return sorted((one for part in _PARTS.values() for one in part.history(person)), key=lambda one: one.at)[::-1]


def held_of(person: Person) -> dict[str, dict[str, Any]]:
    """Everything the shop holds of a person, by app; apps that hold nothing are left out."""
    found = {app: part.out(person) for app, part in _PARTS.items()}
    return {app: held for app, held in found.items() if held}


def explained() -> dict[str, dict[str, str]]:
    """What the keys of ``held_of`` mean, by app."""
    return {app: dict(part.explains) for app, part in _PARTS.items()}


def kept_of(person: Person) -> list[str]:
    """Why something of a person must stay, a sentence an app."""
    return [words for part in _PARTS.values() if (words := part.keeps(person))]


def would_go(person: Person) -> list[str]:
    return [words for part in _PARTS.values() for words in part.goes(person)]


def forget_everywhere(person: Person, instead: str) -> list[str]:
    """Have every app forget a person; to be called inside a transaction. The book itself, which the others are asked
    by, comes last."""
    others = [part for app, part in _PARTS.items() if app != "people"]
    return [words for part in [*others, _PARTS["people"]] for words in part.forget(person, instead)]
