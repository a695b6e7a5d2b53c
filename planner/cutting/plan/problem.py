"""One wood's cutting problem by kinds: parts alike, boards alike, rough lengths on the grid."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from planner.cutting.plan.first import wanted_of
from planner.cutting.plan.terms import SCALE, Part, Rules, StockBoard
from planner.cutting.plan.worth import strip_head, strip_room, strip_slot, usable


@dataclass(frozen=True, slots=True)
class Section:
    """Parts of one ``width`` and ``thickness``: ``lengths`` longest first, ``demand`` pieces of each, in units."""

    width: int
    thickness: int
    lengths: tuple[int, ...]
    demand: tuple[int, ...]


@dataclass(frozen=True, slots=True, order=True)
class Family:
    """Boards that give the same rough lengths: usable ``across`` units, thickness ``yields``, offcut ``worth``."""

    across: int
    yields: int
    worth: int


@dataclass(frozen=True, slots=True)
class Kind:
    """Boards alike in everything: ``along`` usable units of length, ``cost`` in money units, ``names`` on the rack."""

    family: Family
    along: int
    cost: int
    names: tuple[str, ...]


@dataclass(frozen=True)
class Problem:
    """The parts of ``wood`` by ``sections`` and the boards they may come from by ``kinds``; lengths in units."""

    wood: str
    sections: tuple[Section, ...]
    kinds: tuple[Kind, ...]
    rules: Rules

    @cached_property
    def families(self) -> tuple[Family, ...]:
        return tuple(sorted({kind.family for kind in self.kinds}))

    @cached_property
    def steps(self) -> int:
        """How many grid steps the longest rough length that can be ripped has."""
        longest = max((kind.along for kind in self.kinds), default=0)
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


def problem_of(wood: str, parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules) -> Problem:
    """The problem of the ``parts`` and ``stock`` of one wood. Boards with nothing left once trimmed are left out."""
    sections = tuple(
        Section(width, thickness, tuple(lengths), tuple(lengths.values()))
        for (width, thickness), lengths in sorted(wanted_of(parts).items())
    )

    def alike(board: StockBoard) -> tuple[int, ...]:
        return (*usable(board, rules), board.yields, board.worth, board.cost)

    kinds = tuple(
        Kind(Family(key[0], key[2], key[3]), key[1], key[4], tuple(board.name for board in boards))
        for key, boards in groupby(sorted(stock, key=lambda b: (alike(b), b.name)), key=alike)
        if key[0] > 0 and key[1] > 0
    )
    return Problem(wood, sections, kinds, rules)
