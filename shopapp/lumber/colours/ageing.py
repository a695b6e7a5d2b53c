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
    """A sample as ``drawn``. ``shift`` is how far it is from ``since``, the first of its state, ``age`` how long after
    that in words; the first oiled one is held against the last dry one before it, and has no age."""

    colour: WoodColour
    drawn: str
    age: str = ""
    shift: planning.Shift | None = None
    since: str = ""


@dataclass(frozen=True)
class AgedPiece:
    """A piece the maker named, its samples in the order of their days. ``again`` is the query of an address where it is
    photographed once more."""

    name: str
    samples: tuple[Aged, ...]
    again: str


def pieces_that_age(kept: Iterable[KeptColour]) -> list[AgedPiece]:
    """The wood's pieces, the one photographed last first. Only what was measured: a colour set by eye is of no piece,
    and what an older photo is of was not asked. No query."""
    pieces: dict[str, list[WoodColour]] = {}
    for one in kept:
        if one.colour.photo_id and one.colour.piece:
            pieces.setdefault(one.colour.piece, []).append(one.colour)
    return [_piece(name, samples[::-1]) for name, samples in pieces.items()]


def _piece(name: str, samples: list[WoodColour]) -> AgedPiece:
    last = samples[-1]
    again = {"piece": name, "state": last.state, **({"finish": last.finish} if last.finish else {})}
    aged = tuple(_aged(one, samples[:number]) for number, one in enumerate(samples))
    return AgedPiece(name, aged, urlencode(again))


def _aged(one: WoodColour, before: list[WoodColour]) -> Aged:
    drawn = planning.sample_in(one.wood, one.rgb)
    if alike := [other for other in before if other.state == one.state]:
        age = age_in_words(alike[0].seen_on, one.seen_on)
        return Aged(one, drawn, age, planning.shift_between(alike[0].rgb, one.rgb), f"the first {one.state} one")
    if before and one.state == State.OILED:
        return Aged(one, drawn, "", planning.shift_between(before[-1].rgb, one.rgb), "it dry")
    return Aged(one, drawn)


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
