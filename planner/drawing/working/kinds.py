"""Kinds of parts put together by what they share: all woods are brought to one size at one setting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.build import STAGES, along_of
from planner.build.words import ACROSS, part_words

LONG, WIDE, THICK = 0, 1, 2
AXES = ("long", "wide", "thick")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of part: its place among the record's parts, how many there are for all copies, and its size at each
    stage, each as length, width and thickness. ``trims`` are dashed on it: how far from its left and right end, from
    its upper and lower edge it is cut at last."""

    part: int
    name: str
    count: int
    sizes: tuple[tuple[Fraction, Fraction, Fraction], ...]
    trims: tuple[Fraction, Fraction, Fraction, Fraction]

    def cut(self, axis: int) -> Fraction:
        """As it leaves the saw."""
        return self.sizes[STAGES.index("crosscut")][axis]


@dataclass(frozen=True, slots=True)
class Column:
    """A size told of every kind: what stands over it, at which stage, along which axis."""

    head: str
    stage: str
    axis: int

    def of(self, kind: Kind) -> Fraction:
        return kind.sizes[STAGES.index(self.stage)][self.axis]


_ROWS = (Column("crosscut", "crosscut", LONG), Column("finished", "finished", LONG))
_PANELS = (
    Column("long", "ripped", LONG),
    *(Column(stage, stage, WIDE) for stage in ("ripped", "gauged", "dressed", "finished")),
)


@dataclass(frozen=True, slots=True)
class Group:
    """Kinds of all woods that come to one size at one setting, and differ in the ``columns`` only: how long pieces are
    crosscut, or how wide the strips of panels are. ``woods`` are their kinds, the longest first."""

    woods: tuple[tuple[str, tuple[Kind, ...]], ...]
    columns: tuple[Column, ...]

    @property
    def kinds(self) -> tuple[Kind, ...]:
        return tuple(kind for _, kinds in self.woods for kind in kinds)

    @property
    def is_strips(self) -> bool:
        """Whether they are the strips of panels."""
        return len(self.columns) > 2

    def shared(self, axis: int) -> tuple[Fraction | None, ...]:
        """The size along an axis at every stage, where all kinds have the same."""
        told = {(column.stage, column.axis) for column in self.columns}
        if self.is_strips:
            # A panel's length is the same until it is sliced.
            told |= {(stage, LONG) for stage in STAGES[:-1]} | {("crosscut", WIDE)}
        first = self.kinds[0]
        return tuple(None if (stage, axis) in told else first.sizes[n][axis] for n, stage in enumerate(STAGES))


def groups_of(record: Mapping[str, Any]) -> list[Group]:
    """All kinds of parts of a record; those of which there are most come first."""
    strips = bool(record.get("panels"))
    copies = record["spec"]["quantity"]
    found: dict[tuple[object, ...], dict[str, list[Kind]]] = {}
    for number, part in enumerate(record["parts"]):
        sizes = tuple(_size(part["stages"][name]) for name in STAGES)
        count = part["count"] * (1 if part.get("for_all") else copies)
        trims = (Fraction(0),) * 4 if strips else _trims(part, len(record["laid"]))
        kind = Kind(number, part_words(part, along_of(record)), count, sizes, trims)
        alike = tuple(size[THICK] for size in sizes)
        alike += (sizes[-1][LONG],) if strips else tuple(size[WIDE] for size in sizes)
        found.setdefault(alike, {}).setdefault(part["wood"], []).append(kind)
    groups = [
        Group(
            tuple((wood, tuple(sorted(kinds, key=_longest_first))) for wood, kinds in sorted(woods.items())),
            _PANELS if strips else _ROWS,
        )
        for woods in found.values()
    ]
    return sorted(groups, key=lambda group: -sum(kind.count for kind in group.kinds))


def _longest_first(kind: Kind) -> tuple[Fraction, Fraction, int]:
    return -kind.cut(LONG), -kind.cut(WIDE), kind.part


def _size(texts: list[str]) -> tuple[Fraction, Fraction, Fraction]:
    long, wide, thick = (Fraction(text) for text in texts)
    return long, wide, thick


def _trims(part: Mapping[str, Any], rows: int) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """What is left long at one end or both, and wide at an edge, as a piece is drawn: its outer end at the left, its
    outer edge at the top."""
    finished = part["stages"]["finished"]
    ends, edges = (Fraction(part["place"][axis]) - Fraction(finished[axis]) for axis in (LONG, WIDE))
    across = part["kind"] == ACROSS
    left, right = (ends / 2, ends / 2) if across or part["kind"].startswith("through") else (ends, Fraction(0))
    both = not across and rows == 1
    upper, lower = (edges / 2, edges / 2) if both else (edges, Fraction(0))
    return left, right, upper, lower
