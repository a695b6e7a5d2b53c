"""The row or panel that is laid in a step, from the record of its plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopapp.common.templatetags.shop import as_length
from shopapp.plans.readers import BORDERS_IN_ROWS, RecordView
from shopapp.plans.timetable.standing import DRY

from . import planning
from .made import Made


@dataclass(frozen=True)
class Panel:
    """``what`` is laid, a row or a panel with its number; ``done`` of ``many`` of its kind are glued. ``is_part`` where
    only some of its pieces are glued in this step. ``key`` is what this device remembers its place by."""

    what: str
    done: int
    many: int
    laying: planning.Laying
    is_part: bool
    is_panel: bool
    key: str

    @property
    def count(self) -> int:
        return len(self.laying.runs)


def panel_of(record: Mapping, step, label: str, unit: str, made: Made) -> Panel | None:
    """What a step lays; None where the record has no such row."""
    names = RecordView(dict(record), label, unit).names()
    sort, number, *more = step.key.split("/")[1:]
    found = _parts_of(record, sort, number)
    if found is None:
        return None
    alike = _alike(step.key, made)
    what = f"{sort.capitalize()} {number}"
    parts = [(n, _tells(record["parts"][n])) for n in found]
    laying = planning.laying_of(record, parts, names, axis=0 if sort == "row" else 1, title=f"{label}, {what}")
    return Panel(
        what,
        sum(key in made.ticked for key in alike),
        len(alike),
        _in_unit(laying, unit),
        bool(more) and sort == "row",
        sort == "panel",
        f"{made.job.key} {step.key}",
    )


def _alike(key: str, made: Made) -> set[str]:
    """The steps of the same sort and board: those there are, and those ticked before the rest was planned anew."""
    begins = "/".join(key.split("/")[:2]) + "/"
    known = (*made.facts, *(step for step in made.ticked if not step.endswith(DRY)))
    return {one for one in known if one.startswith(begins)}


def _parts_of(record: Mapping, sort: str, number: str) -> list[int] | None:
    rows, key = (record["laid"], "parts") if sort == "row" else (record.get("panels", ()), "strips")
    return next((list(row[key]) for row in rows if str(row["number"]) == number), None)


def _tells(part: Mapping) -> str:
    """How much of it there is: tiles, or that it is border."""
    tiles = part["tiles"]
    border = part["kind"] in BORDERS_IN_ROWS
    said = f"{tiles} tile{'s' * (tiles != 1)}" if tiles else ""
    if border:
        return f"{said} with border" if said else "border"
    return said


def _in_unit(laying: planning.Laying, unit: str) -> planning.Laying:
    runs = [planning.Run(r.wood, r.mark, r.tells, as_length(r.length, unit), r.up, r.down) for r in laying.runs]
    return planning.Laying(laying.up, laying.down, runs)
