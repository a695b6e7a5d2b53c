"""The row or panel that is laid in a step, from the record of its plan, at sizes as made where a tile was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.urls import reverse

from shopapp.common.templatetags.shop import as_length, bare_length
from shopapp.jobs.gauged.planning import Sizes
from shopapp.jobs.gauged.readers import gauged_by, newest_measures
from shopapp.plans.models import Plan
from shopapp.plans.readers import BORDERS_IN_ROWS, RecordView
from shopapp.plans.timetable.standing import DRY
from shopapp.workshop.models import Workshop

from . import planning
from .made import Made

# Of rows to lay so many are drawn at once.
_MOST_DRAWN = 24


@dataclass(frozen=True)
class Panel:
    """``what`` is laid, a row or a panel with its number; ``done`` of ``many`` of its kind are glued. ``is_part`` where
    only some of its pieces are glued in this step. ``key`` is what this device remembers its place by, ``spoiled_url``
    where a row that is spoiled is written down."""

    what: str
    done: int
    many: int
    laying: planning.Laying
    is_part: bool
    is_panel: bool
    key: str
    spoiled_url: str = ""

    @property
    def count(self) -> int:
        return len(self.laying.runs)


@dataclass(frozen=True)
class Shown:
    """What is shown large with a step: the row or panel it lays, and in ``gauged`` what it comes to as measured."""

    panel: Panel | None = None
    gauged: str = ""


def shown_with(tasks: Sequence, shop: Workshop) -> dict[str, Shown]:
    """By the anchor of each of tonight's tasks what is shown with it; so many rows at most are drawn. Two queries."""
    wanted = {task.anchor: (task.made.board(task.board)["key"], task.made.board(task.board)["plan"]) for task in tasks}
    measures = newest_measures(set(wanted.values()))
    laid = [task for task in tasks if task.facts.is_laid][:_MOST_DRAWN]
    plans = Plan.objects.in_bulk({wanted[task.anchor][1] for task in laid} | {plan for _, plan in measures})
    gauged = {pair: gauged_by(measure, plans[pair[1]], shop) for pair, measure in measures.items() if pair[1] in plans}
    records = {pk: plan.record for pk, plan in plans.items()}
    drawn = {task.anchor for task in laid}
    found = {}
    for task in tasks:
        pair = wanted[task.anchor]
        known = gauged.get(pair)
        sizes = known.sizes if known else None
        panel = None
        if task.anchor in drawn and pair[1] in records:
            panel = panel_of(records[pair[1]], task.facts.step, task.label, shop.unit, task.made, sizes)
        found[task.anchor] = Shown(panel, _comes_to(task.facts.step.kind, sizes, shop.unit) if sizes else "")
    return found


def _comes_to(kind: str, sizes: Sizes, unit: str) -> str:
    """What a step comes to where that is not as planned: a row, a border as long as the row, the board cut to size."""
    row, was = (as_length(one, unit) for one in sizes.row)
    if kind == "row" and row != was:
        datum, before = (as_length(one, unit) for one in sizes.datum)
        return f"As gauged the row comes to {row}, its datum to {datum}; by the plan {was} and {before}."
    if kind == "border" and row != was:
        return f"As gauged rows and borders are {row} long, by the plan {was}."
    if kind == "size" and sizes.resized:
        made, planned = (
            f"{bare_length(sizes.finished[0][n], unit)} × {as_length(sizes.finished[1][n], unit)}" for n in (0, 1)
        )
        return f"Cut to {made} as gauged, by the plan {planned}: along the rows × across them."
    return ""


def panel_of(record: Mapping, step, label: str, unit: str, made: Made, sizes: Sizes | None = None) -> Panel | None:
    """What a step lays, at ``sizes`` as made where a tile was measured; None where the record has no such row."""
    names = RecordView(dict(record), label, unit).names()
    sort, number, *more = step.key.split("/")[1:]
    found = _parts_of(record, sort, number)
    if found is None:
        return None
    alike = _alike(step.key, made)
    what = f"{sort.capitalize()} {number}"
    parts = [(n, _tells(record["parts"][n])) for n in found]
    axis = 0 if sort == "row" else 1
    laying = planning.laying_of(record, parts, names, axis, f"{label}, {what}", sizes)
    return Panel(
        what,
        sum(key in made.ticked for key in alike),
        len(alike),
        _in_unit(laying, unit),
        bool(more) and sort == "row",
        sort == "panel",
        f"{made.job.key} {step.key}",
        _spoiled_url(made.board(step.board)["key"], number) if sort == "row" else "",
    )


def _spoiled_url(key: str, row: str) -> str:
    """Of a job alone; what is made with it may be a bare plan."""
    sort, _, pk = key.partition(" ")
    return f"{reverse('jobs:spoiled', args=[pk])}?row={row}" if sort == "job" else ""


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
    runs = [
        replace(one, length=as_length(one.length, unit), planned=one.planned and as_length(one.planned, unit))
        for one in laying.runs
    ]
    return planning.Laying(laying.up, laying.down, runs)
