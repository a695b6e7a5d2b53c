"""What the page of spoiled parts shows, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from django.db.models import Q

from planner.measures import Length
from shopapp.jobs.gauged.readers import Gauged
from shopapp.jobs.models import Job, PartEntry
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.readers import feet_of
from shopapp.people.models import Member
from shopapp.plans.cutting.doing.standing import newest_sheet
from shopapp.plans.cutting.pieces import as_seen
from shopapp.workshop.models import Workshop

from .counting import count_of
from .planning import (
    Alike,
    Count,
    CuttingError,
    Section,
    alike_in,
    as_made,
    gives,
    spares_left,
    still_to_cut,
    strips_for,
    worth,
)

# As many as one walks to the rack for.
_MOST_BOARDS = 3


@dataclass(frozen=True)
class RecutLine:
    """Parts of one size of which something is written down; ``cut`` are the same at the sizes they are cut to now."""

    alike: Alike
    cut: Alike
    count: Count
    wood_name: str

    @property
    def part(self) -> int:
        return self.alike.parts[0]

    @property
    def to_cut(self) -> int:
        return still_to_cut(self.alike, self.count)

    @property
    def spares_left(self) -> int:
        return spares_left(self.alike, self.count)


@dataclass(frozen=True)
class StripLine:
    """Strips to rip for what is to be cut again; ``cost`` as the plan was reckoned, for whoever may see it. ``boards``
    are pieces that the longest of them comes out of, the job's own and the smallest first."""

    section: Section
    wood_name: str
    figure: Mapping
    cost: Mapping | None
    boards: Sequence[StockPiece] = ()

    @property
    def longest(self) -> Length:
        return max(strip.needed for strip in self.section.strips)


@dataclass(frozen=True)
class EntryLine:
    entry: PartEntry
    undone: bool
    counts: bool
    may_take_back: bool


@dataclass(frozen=True)
class Recut:
    """``trouble`` says why strips could not be laid; nothing where they were. ``gauged`` is what was measured of the
    job's tiles, where anything was."""

    lines: list[RecutLine]
    strips: list[StripLine]
    story: list[EntryLine]
    trouble: str
    gauged: Gauged | None = None

    @property
    def to_cut(self) -> int:
        return sum(line.to_cut for line in self.lines)

    @property
    def spoiled(self) -> int:
        return sum(line.count.spoiled for line in self.lines)


def choices_of(job: Job, gauged: Gauged | None, says) -> list[tuple[str, list[tuple[str, str]]]]:
    """Parts to choose from, wood by wood, at the sizes they have now; ``says`` writes a length."""
    names = _names(job.plan.record)
    groups: dict[str, list[tuple[str, str]]] = {}
    for one in alike_in(job.plan):
        now = _now(one, gauged)
        size = f"{says(now.gauged)} × {says(now.length)}"
        groups.setdefault(names[one.wood], []).append((str(one.parts[0]), f"{names[one.wood]}, {one.name}, {size}"))
    return list(groups.items())


def _now(alike: Alike, gauged: Gauged | None) -> Alike:
    return alike if gauged is None or gauged.sizes is None else as_made(alike, gauged.sizes.parts)


def _names(record: Mapping) -> dict[str, str]:
    return {wood["wood"]: wood["name"] for wood in record["woods"]}


def recut_of(job: Job, workshop: Workshop, who: Member, *, money: bool, gauged: Gauged | None = None) -> Recut:
    """At the sizes that follow from what was ``gauged``. One query; whoever looks for boards asks for two more."""
    entries = list(PartEntry.objects.filter(job=job).select_related("who", "undone_by"))
    counting = [one for one in entries if _counts(one, job)]
    record = job.plan.record
    names = _names(record)
    lines = [
        RecutLine(alike, _now(alike, gauged), count, names[alike.wood])
        for alike in alike_in(job.plan)
        if (count := count_of(counting, alike)) != Count()
    ]
    strips, trouble = [], ""
    try:
        for section in strips_for([(line.cut, line.to_cut) for line in lines], workshop):
            cost = worth(section, record, workshop.currency_exponent) if money else None
            strips.append(StripLine(section, names[section.wood], section.figure.as_record(), cost))
    except CuttingError as error:
        trouble = str(error)
    story = [_told(one, job, who) for one in entries]
    return Recut(lines, strips, story, trouble, gauged)


def with_boards(recut: Recut, job: Job, workshop: Workshop) -> Recut:
    """The same with boards of the rack for every strip: those promised to the job that no cut plan of it speaks for,
    and free ones. Two queries, none where nothing is to be ripped."""
    if not recut.strips:
        return recut
    sheet = newest_sheet(job.key, job.plan_id)
    spoken = [one["pk"] for one in sheet.pieces] if sheet else []
    there = StockPiece.objects.filter(wood__in={one.section.wood for one in recut.strips}, state=StockPiece.State.HERE)
    mine = Q(demand=None) | Q(demand__key=job.key)
    pieces = there.filter(mine, set_aside="").exclude(pk__in=spoken).select_related("lot")
    seen = sorted(pieces, key=lambda one: (one.demand_id is None, feet_of(one), one.mark))
    strips = []
    for strip in recut.strips:
        boards = (one for one in seen if gives(strip.section, as_seen(one), workshop))
        strips.append(replace(strip, boards=list(islice(boards, _MOST_BOARDS))))
    return replace(recut, strips=strips)


def _is_undone(entry: PartEntry) -> bool:
    return getattr(entry, "undone_by", None) is not None


def _counts(entry: PartEntry, job: Job) -> bool:
    return entry.kind != PartEntry.Kind.TAKEN_BACK and not _is_undone(entry) and entry.plan_id == job.plan_id


def _told(entry: PartEntry, job: Job, who: Member) -> EntryLine:
    may = entry.kind != PartEntry.Kind.TAKEN_BACK and not _is_undone(entry) and (who.is_owner or entry.who_id == who.pk)
    return EntryLine(entry, _is_undone(entry), _counts(entry, job), may)
