"""The door to the planner for patterns that go out and come in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.drawing import WoodLook, hex_of
from planner.errors import PlannerError
from planner.palettepng import SIGNATURE
from planner.pattern import Pattern
from planner.patternform import BACKGROUND_MARKS, KINDS, Pasted, from_json, read_pasted, to_json

__all__ = [
    "BACKGROUND_MARKS",
    "KINDS",
    "MOST_ASKED",
    "MOST_BYTES",
    "Brought",
    "Looks",
    "Pasted",
    "Pattern",
    "brought_file",
    "brought_text",
    "json_of",
    "png_of",
    "read_pasted",
]

# A pattern's JSON of the largest size is smaller; its PNG is smaller by far.
MOST_BYTES = 1_000_000
MOST_PNG_BYTES = 200_000
# A legend has a line for each wood of a pattern at most.
MOST_ASKED = 256
Looks = Mapping[str | None, WoodLook]


@dataclass(frozen=True)
class Brought:
    """What was brought, as text for the field on the page; out of a form of ours, and then ``ours``, it is rows of
    runs, with the title and the woods' names where the form has them."""

    text: str
    ours: bool = False
    title: str = ""
    names: Mapping[str, str] = field(default_factory=dict)


def png_of(pattern: Pattern, looks: Looks) -> bytes:
    return pattern.to_png({wood: look.rgb for wood, look in looks.items() if wood})


def json_of(pattern: Pattern, looks: Looks, title: str) -> str:
    return to_json(pattern, {wood: (look.name, hex_of(look.rgb)) for wood, look in looks.items() if wood}, title)


def brought_file(data: bytes) -> Brought:
    """A PNG or JSON of ours, or a text, from a file. Raises PlannerError in words.

    Pictures from outside are decoded by the worker alone. This is no exception: no picture decoder is asked. Only
    the one kind of palette PNG that we write is read, byte by byte, by a reader that can unpack no more than two
    hundred rows of two hundred cells; any other picture is sent to where pictures are brought.
    """
    if data.startswith(SIGNATURE):
        if len(data) > MOST_PNG_BYTES:
            raise PlannerError(
                "This picture is larger than any pattern’s own.", mend="Bring it as a picture instead.", field="file"
            )
        return Brought(Pattern.from_png(data).to_text(), ours=True)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise PlannerError(
            "This file is neither a pattern’s PNG nor a text.",
            mend="Bring a picture as a picture; save a text as UTF-8.",
            field="file",
        ) from error
    return brought_text(text)


def brought_text(text: str) -> Brought:
    """JSON is turned into rows of runs; any other text stays as it is. Raises PlannerError in words."""
    if not text.lstrip("\ufeff \t\r\n").startswith("{"):
        return Brought(text)
    file = from_json(text)
    return Brought(file.pattern.to_text(), True, file.title, file.names)
