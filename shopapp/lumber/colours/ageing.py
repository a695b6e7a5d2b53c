"""How pieces age: the samples of one piece beside each other by the day, each held against the first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from shopapp.lumber.models import WoodColour

from . import planning
from .readers import KeptColour

State = WoodColour.State


@dataclass(frozen=True)
class Aged:
    """A sample; its age since the first of its state in words, and how far it is from that one. None for the first."""

    kept: KeptColour
    age: str = ""
    shift: planning.Shift | None = None


@dataclass(frozen=True)
class InOneState:
    """The samples of a piece while it was dry, or since it was oiled, in the order of their days. ``again`` is the
    query of an address where the same is photographed once more."""

    words: str
    samples: tuple[Aged, ...]
    again: str


@dataclass(frozen=True)
class AgedPiece:
    """A piece the maker named; ``oiling`` is how far its first oiled sample is from its last dry one before it."""

    name: str
    states: tuple[InOneState, ...]
    oiling: planning.Shift | None


def pieces_that_age(kept: Iterable[KeptColour]) -> list[AgedPiece]:
    """The wood's pieces, the one photographed last first. Only what was measured: a colour set by eye is of no piece,
    and what an older photo is of was not asked. No query."""
    pieces: dict[str, list[KeptColour]] = {}
    for one in kept:
        if one.colour.photo_id and one.colour.piece:
            pieces.setdefault(one.colour.piece, []).append(one)
    return [_piece(name, samples[::-1]) for name, samples in pieces.items()]


def _piece(name: str, samples: list[KeptColour]) -> AgedPiece:
    dry = [one for one in samples if one.colour.state == State.DRY]
    oiled = [one for one in samples if one.colour.state == State.OILED]
    states = [_in_one_state(name, words, found) for words, found in (("Dry", dry), ("Oiled", oiled)) if found]
    before = [one for one in dry if oiled and one.colour.seen_on <= oiled[0].colour.seen_on]
    oiling = planning.shift_between(before[-1].colour.rgb, oiled[0].colour.rgb) if before else None
    return AgedPiece(name, tuple(states), oiling)


def _in_one_state(name: str, words: str, samples: list[KeptColour]) -> InOneState:
    first, last = samples[0].colour, samples[-1].colour
    later = tuple(
        Aged(one, age_in_words(first.seen_on, one.colour.seen_on), planning.shift_between(first.rgb, one.colour.rgb))
        for one in samples[1:]
    )
    again = {"piece": name, "state": last.state, **({"finish": last.finish} if last.finish else {})}
    return InOneState(words, (Aged(samples[0]), *later), urlencode(again))


def age_in_words(first: date, later: date) -> str:
    """How long after ``first`` a day is, in whole units, as one says it.

    >>> age_in_words(date(2026, 1, 31), date(2026, 3, 30)), age_in_words(date(2024, 5, 2), date(2026, 5, 2))
    ('8 weeks later', '2 years later')
    """
    days = (later - first).days
    months = (later.year - first.year) * 12 + later.month - first.month - (later.day < first.day)
    if days == 0:
        return "the same day"
    for count, unit in ((months // 12 if months >= 24 else 0, "year"), (months if months >= 3 else 0, "month")):
        if count:
            return f"{count} {unit}s later"
    count, unit = (days // 7, "week") if days >= 14 else (days, "day")
    return f"{count} {unit}{'' if count == 1 else 's'} later"
