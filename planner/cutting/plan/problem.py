"""One wood's cutting problem by kinds: parts alike, boards alike, rough lengths on the grid."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import NamedTuple

from planner.cutting.plan.clear import clear_stretches
from planner.cutting.plan.first import wanted_of
from planner.cutting.plan.marks import NONE, Bound, marks_of
from planner.cutting.plan.terms import SCALE, Part, Rules, StockBoard
from planner.cutting.plan.worth import layer_worth, strip_head, strip_room, strip_slot, usable


@dataclass(frozen=True, slots=True)
class Section:
    """Parts of one ``width`` and ``thickness``: ``lengths`` longest first, ``demand`` pieces of each, in units, and
    the mark (``planner.cutting.plan.marks``) each asks of its board."""

    width: int
    thickness: int
    lengths: tuple[int, ...]
    demand: tuple[int, ...]
    marks: tuple[str, ...]


class Stuff(NamedTuple):
    """What strips share beyond their section: the ``worth`` of an offcut and the ``marks`` of the board."""

    worth: int
    marks: tuple[str, ...]


class Family(NamedTuple):
    """Rough lengths alike but for their length: usable ``across`` units, greatest thickness ``yields``, offcut
    ``worth``, the board's ``marks``. One that is resawn gives two ``layers``, each milled to ``yields`` exactly and
    each ripped, or kept whole, by itself; its numbers are those of a layer."""

    across: int
    yields: int
    worth: int
    marks: tuple[str, ...] = ()
    layers: int = 1

    @property
    def stuff(self) -> Stuff:
        return Stuff(self.worth, self.marks)


@dataclass(frozen=True, slots=True)
class Kind:
    """Boards alike in everything: the ``families`` of rough lengths they give, not resawn first, the clear
    ``stretches`` of their length in units, in order, ``cost`` in money units, ``names`` on the rack."""

    families: tuple[Family, ...]
    stretches: tuple[int, ...]
    cost: int
    names: tuple[str, ...]

    @property
    def family(self) -> Family:
        """The family of rough lengths that are not resawn."""
        return self.families[0]


@dataclass(frozen=True)
class Problem:
    """The parts of ``wood`` by ``sections`` and the boards they may come from by ``kinds``; lengths in units."""

    wood: str
    sections: tuple[Section, ...]
    kinds: tuple[Kind, ...]
    rules: Rules

    @cached_property
    def families(self) -> tuple[Family, ...]:
        return tuple(sorted({family for kind in self.kinds for family in kind.families}))

    @cached_property
    def steps(self) -> int:
        """How many grid steps the longest rough length that can be ripped has."""
        longest = max((stretch for kind in self.kinds for stretch in kind.stretches), default=0)
        return min(longest, self.rules.longest_rip or longest) // self.rules.grid

    @property
    def least_step(self) -> int:
        """Grid steps of the shortest rough length that is milled and ripped."""
        return max(-(-self.rules.shortest_rough // self.rules.grid), 1)

    @cached_property
    def sizes(self) -> tuple[tuple[int, int, int], ...]:
        """Every part's (width, thickness, length), section by section: the order prices stand in."""
        return tuple((s.width, s.thickness, length) for s in self.sections for length in s.lengths)

    @cached_property
    def shades(self) -> tuple[str, ...]:
        """The shade each of ``sizes`` asks for, "" for any."""
        return tuple(mark.removeprefix("shade ") for s in self.sections for mark in s.marks)

    @cached_property
    def demand(self) -> tuple[int, ...]:
        return tuple(count for s in self.sections for count in s.demand)

    @cached_property
    def first_row(self) -> tuple[int, ...]:
        """Where each section's parts begin in ``sizes``."""
        starts, at = [], 0
        for section in self.sections:
            starts.append(at)
            at += len(section.lengths)
        return tuple(starts)

    def first_of(self, thickness: int) -> int:
        """The first section of a thickness."""
        return next(i for i, section in enumerate(self.sections) if section.thickness == thickness)

    def first_alike(self, section: int) -> int:
        """The first section of the same thickness."""
        return self.first_of(self.sections[section].thickness)

    def rate(self, width: int, worth: int) -> int:
        """What a unit of length of an offcut is worth at the most, in 1/SCALE of a money unit, rounded up: by it no
        offcut is worth less than the maker's rule gives it, so a bound that uses it holds."""
        return -(-SCALE * width * worth // self.rules.worth_area)

    def room(self, step: int) -> int:
        return strip_room(step * self.rules.grid, self.rules)

    @property
    def head(self) -> int:
        return strip_head(self.rules)

    def across_slot(self, section: Section) -> int:
        return strip_slot(section.width, self.rules)


def problem_of(
    wood: str, parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, bound: Bound = NONE
) -> Problem:
    """The problem of the ``parts`` and ``stock`` of one wood, parts ``bound`` to boards already where they are to be.
    Boards with nothing left once trimmed are left out."""
    sections = tuple(
        Section(
            width,
            thickness,
            tuple(length for length, _ in items),
            tuple(items.values()),
            tuple(mark for _, mark in items),
        )
        for (width, thickness), items in sorted(wanted_of(parts, bound).items())
    )
    thicknesses = sorted({section.thickness for section in sections})

    def alike(board: StockBoard) -> tuple[tuple[Family, ...], tuple[int, ...], int]:
        across, marks = usable(board, rules)[0], marks_of(board, parts, bound)
        whole = Family(across, board.yields, board.worth, marks)
        layers = [
            Family(across, thickness, layer_worth(board.worth), marks, 2)
            for thickness in thicknesses
            if thickness <= board.resawn
        ]
        stretches = tuple(end - begin for begin, end in clear_stretches(board, rules))
        return (whole, *layers), stretches, board.cost

    def order(board: StockBoard) -> tuple[object, ...]:
        families, stretches, cost = alike(board)
        one = families[0]
        return one.across, stretches, one.yields, one.worth, cost, one.marks, families[1:], board.name

    kinds = tuple(
        Kind(*key, tuple(board.name for board in boards))
        for key, boards in groupby(sorted(stock, key=order), key=alike)
        if key[0][0].across > 0 and key[1]
    )
    return Problem(wood, sections, kinds, rules)
