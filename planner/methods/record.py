"""A comparison as plain JSON, and the smaller form that is kept with a plan."""

from __future__ import annotations

from typing import Any

from planner.measures import Length
from planner.methods.comparing import Comparison, Mended, Paying
from planner.methods.terms import END_GRAIN_SOURCE, END_GRAIN_WORDS, Made, Remedy, Way

Json = dict[str, Any]
_DECIDES = {"hours", "wood", "total", "carried"}


def to_json(comparison: Comparison) -> Json:
    """Lengths in millimetres and shares as exact text, like the record's."""
    choice = comparison.choice
    return {
        "copies": comparison.copies,
        "also": list(comparison.also),
        "least_carried": str(comparison.least_carried),
        "strength": {"words": END_GRAIN_WORDS, "source": END_GRAIN_SOURCE},
        "ways": [_made(made) for made in comparison.ways],
        "choice": {
            "best": _key(choice.best),
            "runner_up": _key(choice.runner_up),
            "difference": None if choice.difference is None else choice.difference.as_record(),
            "meeting": choice.meeting,
            "mended": None if choice.mended is None else _mended(choice.mended),
        },
        "paying": [_paying(paying) for paying in comparison.paying],
    }


def kept_json(comparison: Comparison, way: Way) -> Json:
    """What a plan keeps of it: every way with its figures, but sums only of the figures that decide, and remedies only
    of ``way``, the one that was kept, and of those the recommendation speaks of."""
    form = to_json(comparison)
    form["chosen"] = way.key
    told = {way.key, form["choice"]["best"], (form["choice"]["mended"] or {}).get("key")}
    for made in form["ways"]:
        if made["key"] not in told:
            made["remedies"] = []
        for name, figure in made["figures"].items():
            if name not in _DECIDES:
                figure["terms"] = []
    return form


def _mended(mended: Mended) -> Json:
    return {"key": mended.way.key, "kind": mended.remedy.kind, "total": mended.total.as_record()}


def _key(made: Made | None) -> str | None:
    return None if made is None else made.way.key


def _made(made: Made) -> Json:
    return {
        "key": made.way.key,
        "method": made.way.method,
        "along": made.way.along,
        "words": made.way.words,
        "refused": made.refused,
        "meets": made.meets,
        "seamless": made.weakest is None,
        "place": "" if made.weakest is None else made.weakest.place,
        "figures": {name: figure.as_record() for name, figure in made.figures.items()},
        "at": {str(copies): [str(hours), str(total)] for copies, (hours, total) in made.at.items()},
        "remedies": [_remedy(remedy) for remedy in made.remedies],
    }


def _remedy(remedy: Remedy) -> Json:
    figures = {"minutes": remedy.minutes, "wood": remedy.wood, "carried": remedy.carried}
    return {
        "kind": remedy.kind,
        "words": remedy.words,
        "offered": remedy.offered,
        "figures": {name: figure.as_record() for name, figure in figures.items() if figure is not None},
        "share": None if remedy.share is None else str(remedy.share),
        "meets": remedy.meets,
        "changes": {
            name: str(value.mm) if isinstance(value, Length) else value for name, value in remedy.changes.items()
        },
    }


def _paying(paying: Paying) -> Json:
    return {
        "key": paying.way.key,
        "first": None if paying.first is None else paying.first.as_record(),
        "always": paying.pays.always,
    }
