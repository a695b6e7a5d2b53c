"""Everything the shop holds of a person, as one file and as lines to read.

The file is JSON that explains its own keys:

    {
     "about": {"people": {"name": "The name they are called by.", …}, …},
     "form": "Kerfstead person",
     "held": {"people": {"name": "Wren Attwater", …}, "quotes": {…}, …},
     "version": 1
    }

Keys are in alphabetical order and nothing in it tells when it was made, so that it stays the same, byte for byte, until
something is written of the person. An erasure leaves its SHA-256: whoever has the file can show what was destroyed.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from shopapp.people.book import explained, held_of
from shopapp.people.models import Person

FORM = "Kerfstead person"
VERSION = 1


def file_of(held: dict[str, dict[str, Any]]) -> bytes:
    about = {app: keys for app, keys in explained().items() if app in held}
    whole = {"form": FORM, "version": VERSION, "about": about, "held": held}
    return (json.dumps(whole, ensure_ascii=False, indent=1, sort_keys=True, allow_nan=False) + "\n").encode()


def hash_of(person: Person) -> str:
    return hashlib.sha256(file_of(held_of(person))).hexdigest()


@dataclass(frozen=True)
class Line:
    """One value to read, or the head of those below it (no ``value``); ``depth`` counts from 0."""

    depth: int
    label: str
    value: str
    means: str = ""


def lines_of(held: dict[str, dict[str, Any]]) -> dict[str, list[Line]]:
    """All that is held, to be read: every key and every value of it, by app, in the file's order."""
    about = explained()
    return {
        app: [line for key in sorted(values) for line in _lines(0, key, values[key], about.get(app, {}))]
        for app, values in sorted(held.items())
    }


def _lines(depth: int, key: str, value: Any, about: dict[str, str]) -> list[Line]:
    label, means = key.replace("_", " "), about.get(key, "")
    if isinstance(value, dict):
        below = [line for one in sorted(value) for line in _lines(depth + 1, one, value[one], about)]
        return [Line(depth, label, "", means), *below]
    if isinstance(value, list):
        below = [line for at, one in enumerate(value, 1) for line in _lines(depth + 1, str(at), one, {})]
        return [Line(depth, label, "" if below else "–", means), *below]
    return [Line(depth, label, _said(value), means)]


def _said(value: Any) -> str:
    if value is None or value == "":
        return "–"
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
