"""What was brought in, read as far as it can be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.core.files.uploadedfile import UploadedFile

from planner.errors import PlannerError
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import WOODS, look_of

from . import planning


@dataclass(frozen=True)
class BroughtIn:
    """A file or text read: ``text`` and ``kind`` for the fields on the page, and the grid of marks in it, or words
    why there is none, at ``field``."""

    text: str
    kind: str = ""
    title: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    pasted: planning.Pasted | None = None
    trouble: str = ""
    at: str = ""


def brought_in(text: str, upload: UploadedFile | None, kind: str) -> BroughtIn:
    """Read what came: the file where there is one, else the text. Never raises."""
    at = "file" if upload else "text"
    if not upload and not text.strip():
        return BroughtIn(text, kind, trouble="Choose a file, or paste the rows of a grid.", at="text")
    found = None
    try:
        if upload and upload.size and upload.size > planning.MOST_BYTES:
            raise PlannerError("The file is larger than 1 MB, and no pattern is.", mend="Choose another one.")
        found = planning.brought_file(upload.read()) if upload else planning.brought_text(text)
        # What was read out of a form of ours is rows of runs, whatever was chosen for a text.
        kind = "runs" if found.ours else kind if kind in planning.KINDS else ""
        pasted = planning.read_pasted(found.text, kind)
    except PlannerError as error:
        return BroughtIn(found.text if found else text, kind, trouble=str(error), at=at)
    names = {mark: published_name(mark) for mark in pasted.marks} if pasted.kind == "runs" else {}
    return BroughtIn(found.text, kind, found.title, {**names, **found.names}, pasted)


def woods_to_choose() -> tuple[planning.Looks, set[str], list[tuple[str, str]]]:
    """The looks of every wood this maker ever had, the ids of those on hand, and all by id and name for a choice,
    those on hand first. One query."""
    rows = list(WoodOnHand.objects.all())
    named = [(row.wood, row.name if row.on_hand else f"{row.name} (not on hand now)") for row in rows]
    return {row.wood: look_of(row) for row in rows}, {row.wood for row in rows if row.on_hand}, named


def published_name(wood: str) -> str:
    """What the table of woods calls an id, or nothing."""
    return WOODS[wood].name if wood in WOODS else ""
