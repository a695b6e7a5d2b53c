"""The pattern's JSON form: keys in plain words, and an "about" that explains every one of them.

``shopapp/designs/exchange/pattern-form.json`` is its schema. A key that is not known is passed over, so that others
may add their own; a newer version is refused in words rather than half read.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.pattern import LARGEST_SIDE, MOST_WOODS, Pattern, PatternError

FORM = "Kerfstead pattern"
VERSION = 1
# A pattern of two hundred rows of two hundred runs with long names stays under it.
MOST_LETTERS = 1_000_000
ABOUT = {
    "form": f"What kind of file this is: always “{FORM}”.",
    "version": "The version of this form. A reader of version 1 refuses a larger number.",
    "about": "These explanations; a reader passes over them.",
    "title": "What the pattern is called.",
    "rows": f"How many rows the pattern has, 1 to {LARGEST_SIDE}.",
    "columns": f"How many cells every row has, 1 to {LARGEST_SIDE}.",
    "woods": "The woods of the pattern. id: how the pattern names it, in small letters, digits and hyphens; name: "
    "what people call it; colour: its finished colour as #rrggbb, for showing only.",
    "pattern": "The rows, the top one first. Each is a list of runs from the left, divided by commas: a count, a "
    "blank, and the id of a wood or - for background. “2 -, 3 beech” is two cells of background and three of beech.",
}
_COLOUR = re.compile(r"#[0-9a-f]{6}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PatternFile:
    """A pattern from a file, with what the file calls it and its woods."""

    pattern: Pattern
    title: str
    names: Mapping[str, str]


def to_json(pattern: Pattern, woods: Mapping[str, tuple[str, str]], title: str) -> str:
    """The pattern as JSON text; ``woods`` are names and #rrggbb colours by id, for those that are known.

    >>> text = to_json(Pattern.of([[None, "beech"]]), {"beech": ("American beech", "#c9a27a")}, "Two cells")
    >>> from_json(text).pattern.to_text()
    '1 -, 1 beech'
    """
    return json.dumps(
        {
            "form": FORM,
            "version": VERSION,
            "about": ABOUT,
            "title": title,
            "rows": pattern.height,
            "columns": pattern.width,
            "woods": [_wood(wood, *woods.get(wood, (wood, ""))) for wood in pattern.woods],
            "pattern": pattern.to_text().splitlines(),
        },
        ensure_ascii=False,
        indent=2,
    )


def _wood(wood: str, name: str, colour: str) -> dict[str, str]:
    return {"id": wood, "name": name, **({"colour": colour} if colour else {})}


def from_json(text: str) -> PatternFile:
    """A pattern back from ``to_json``, or from whoever wrote the same form.

    Raises PatternError that names the line, the key or the row at fault, for another form, for a newer version and
    for whatever else is no pattern.
    """
    if len(text) > MOST_LETTERS:
        raise PatternError("The file holds more than a megabyte of text.", mend="No pattern is as large.")
    data = _read(text)
    if not isinstance(data, dict):
        raise PatternError("The JSON is a list or a single value.", mend=f"A {FORM} is an object, in braces.")
    _check_form(data)
    rows = data.get("pattern")
    if not isinstance(rows, list) or not all(isinstance(row, str) for row in rows):
        raise PatternError("“pattern” is no list of rows in quotes.", mend="Write each row like “2 -, 3 beech”.")
    for number, row in enumerate(rows, start=1):
        if len(row.splitlines()) != 1 or not row.strip():
            what = "runs over more than one line" if row.strip() else "is empty"
            raise PatternError(f"Row {number} of “pattern” {what}.", mend="Write each row like “2 -, 3 beech”.")
    pattern = _pattern(rows)
    for key, counted in (("rows", pattern.height), ("columns", pattern.width)):
        # The count may be left out; one that is wrong says that something was lost on the way.
        if key in data and (isinstance(data[key], bool) or data[key] != counted):
            raise PatternError(
                f"“{key}” says {str(data[key])[:20]}, and the pattern has {counted}.",
                mend="Look which of them is right.",
            )
    title = data.get("title", "")
    return PatternFile(pattern, title[:200] if isinstance(title, str) else "", _names(data.get("woods", [])))


class _Twice(ValueError):
    pass


def _read(text: str) -> Any:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, value in pairs:
            if key in found:
                raise _Twice(key)
            found[key] = value
        return found

    def number(digits: str) -> int:
        # Nothing of ours is so large, and a number of a million digits would take its time.
        return int(digits) if len(digits) < 10 else 10**9

    def none(name: str) -> None:
        raise _Twice(name)

    try:
        return json.loads(text.lstrip("\ufeff"), object_pairs_hook=once, parse_int=number, parse_constant=none)
    except json.JSONDecodeError as error:
        raise PatternError(
            f"The JSON cannot be read at line {error.lineno}, place {error.colno}.",
            mend="Look whether a quote, a comma or a brace is missing there.",
        ) from error
    except _Twice as error:
        word = str(error)[:40]
        if word in ("NaN", "Infinity", "-Infinity"):
            raise PatternError(f"“{word}” is no number.", mend="Write a whole number.") from error
        raise PatternError(f"“{word}” is written twice.", mend="Leave one of them out.") from error
    except RecursionError as error:
        raise PatternError("The JSON is nested too deep to be a pattern.", mend="Look at the file again.") from error


def _check_form(data: dict[str, Any]) -> None:
    form, version = data.get("form"), data.get("version")
    if form != FORM:
        raise PatternError(f"This JSON does not say that it is a “{FORM}”.", mend=f'It needs "form": "{FORM}".')
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise PatternError("“version” is no whole number from 1 up.", mend=f"This Kerfstead reads version {VERSION}.")
    if version > VERSION:
        shown = str(version) if version < 10**9 else "a very large number"
        raise PatternError(
            f"The file is of version {shown} of its form, and this Kerfstead reads version {VERSION}.",
            mend="It was made by a newer one: bring this one up to date, or have it sent as a text of rows.",
        )


def _pattern(rows: list[str]) -> Pattern:
    try:
        return Pattern.from_text("\n".join(rows))
    except PatternError as error:
        what = re.sub(r"^Line (\d+)", r"Row \1 of “pattern”", error.what)
        raise PatternError(what, mend=error.mend) from error


def _names(woods: Any) -> dict[str, str]:
    if not isinstance(woods, list) or len(woods) > MOST_WOODS:
        raise PatternError(f"“woods” is no list of at most {MOST_WOODS} woods.", mend="Give each an id and a name.")
    names = {}
    for number, wood in enumerate(woods, start=1):
        if not isinstance(wood, dict) or not isinstance(wood.get("id"), str) or not isinstance(wood.get("name"), str):
            raise PatternError(f"Wood {number} of “woods” has no id and name in quotes.", mend="Give it both.")
        names[wood["id"]] = wood["name"][:60]
    return names
