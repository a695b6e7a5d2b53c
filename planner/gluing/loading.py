"""What can be glued at once: how many pieces of a row, how many rows, how many borders go together before the glue is
too far on, and how long work that is done in lots is dealt out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lcm

from planner.gluing.terms import TimetableError

# The most rows, or blocks of rows, joined in one glue-up, and the most border strips (common practice, no source).
MOST_ROWS, MOST_BORDERS = 4, 3
# Cutting and sanding are done in lots of no more than this many minutes (common practice, no source).
LOT_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Loaded:
    """What is loaded, as a refusal calls it: its ``pieces``, and the ``work`` whose minutes are the maker's."""

    pieces: str
    work: str


ROW = Loaded("pieces of a row", "gluing a row")
PANEL = Loaded("strips of a panel", "gluing a panel and laying a strip in it")


def segments_of(pieces: int, fixed: Fraction, a_joint: Fraction, assembly: int, what: Loaded = ROW) -> tuple[int, ...]:
    """The pieces of each part a row of so many ``pieces`` is glued in, so that each is under pressure in time.

    Loading takes ``fixed`` minutes and ``a_joint`` for each joint; where that is more than the adhesive's ``assembly``
    time the row is made in as few parts as can be, as even as can be. A part of m pieces has m − 1 joints, so that is
    ``ceil(pieces / (floor((assembly − fixed) / a_joint) + 1))``: never more than ``ceil(joints · a_joint / (assembly −
    fixed))``, which reckons with the joints between the parts as well. Raises TimetableError where not even two pieces
    can be loaded in time.

    >>> segments_of(24, Fraction(3), Fraction(1, 4), 10)
    (24,)
    >>> segments_of(48, Fraction(3), Fraction(1, 4), 10)
    (24, 24)
    """
    if fixed + a_joint * (pieces - 1) <= assembly:
        return (pieces,)
    if fixed + a_joint > assembly:
        raise TimetableError(
            f"Loading two {what.pieces} takes {minutes_said(fixed + a_joint)} min; the adhesive's assembly time is "
            f"{assembly} min.",
            mend=f"Use an adhesive that leaves more time, or put right how long {what.work} takes you.",
            field="adhesive",
        )
    many = ceil(Fraction(pieces, floor((assembly - fixed) / a_joint) + 1))
    return tuple(pieces * (n + 1) // many - pieces * n // many for n in range(many))


@dataclass(frozen=True, slots=True)
class Section:
    """Pieces ``first`` to ``end`` glued in one go: so many ``things``, which are pieces where ``of`` is empty, else
    sections that were glued before, by their numbers. A thing alone needs no glue."""

    first: int
    end: int
    things: int
    of: tuple[int, ...] = ()


def sections_of(
    pieces: int, fixed: Fraction, a_joint: Fraction, assembly: int, what: Loaded = ROW
) -> tuple[Section, ...]:
    """The glue-ups of so many ``pieces`` in a line, the whole last: parts that load in time, and what joins them, which
    takes as long a joint and has to be as quick. Errors as ``segments_of``.

    >>> [(one.first, one.end, one.of) for one in sections_of(48, Fraction(3), Fraction(1, 4), 10)]
    [(0, 24, ()), (24, 48, ()), (0, 48, (0, 1))]
    """
    sections: list[Section] = []
    at = 0
    for many in segments_of(pieces, fixed, a_joint, assembly, what):
        sections.append(Section(at, at + many, many))
        at += many
    blocks = list(range(len(sections)))
    while len(blocks) > 1:
        joined, at = [], 0
        for many in segments_of(len(blocks), fixed, a_joint, assembly, what):
            group = tuple(blocks[at : at + many])
            at += many
            if many > 1:
                sections.append(Section(sections[group[0]].first, sections[group[-1]].end, many, group))
                group = (len(sections) - 1,)
            joined.append(group[0])
        blocks = joined
    return tuple(sections)


def at_once(a_line: Fraction, assembly: int, most: int) -> int:
    """How many go into one glue-up if each takes ``a_line`` minutes: ``most`` at the most, and one however long it
    takes, for a maker's minutes hold the trying dry as well."""
    return most if not a_line else min(most, max(floor(assembly / a_line), 1))


def evenly(count: int, most: int) -> list[range]:
    """``count`` things in as few groups of at most ``most`` as can be, as even as can be.

    >>> [len(group) for group in evenly(9, 4)]
    [3, 3, 3]
    """
    groups = -(-count // most)
    return [range(count * n // groups, count * (n + 1) // groups) for n in range(groups)]


def lots_of(minutes: Sequence[Fraction], most: Fraction) -> list[tuple[int, int, Fraction]]:
    """Things one after another, each taking so many minutes, in lots of at most ``most``: (first, end, minutes) a lot.

    Lots are as even as can be. What takes longer than a lot alone is done in lots of its own, which all have its
    ``first`` and ``end``.
    """
    # Whole numbers of a common part, for fractions are slow to add by the thousand.
    part = lcm(*(one.denominator for one in minutes), most.denominator)
    whole, limit = [int(one * part) for one in minutes], int(most * part)
    for many in range(max(1, -(-sum(whole) // limit)), len(minutes) + 1):
        lots = _dealt(whole, many)
        if all(taken <= limit for _, _, taken in lots):
            return [(first, end, Fraction(taken, part)) for first, end, taken in lots]
    return [
        (i, i + 1, one / parts)
        for i, one in enumerate(minutes)
        for parts in [max(1, ceil(one / most))]
        for _ in range(parts)
    ]


def _dealt(minutes: Sequence[int], many: int) -> list[tuple[int, int, int]]:
    """At most ``many`` lots that end at the thing whose end lies nearest each share of all."""
    total = sum(minutes)
    lots: list[tuple[int, int, int]] = []
    first, so_far, begun = 0, 0, 0
    for i, one in enumerate(minutes):
        so_far += one
        due = total * (len(lots) + 1)
        last = i + 1 == len(minutes)
        left = len(lots) + 1 < many
        if last or (left and abs(so_far * many - due) <= abs((so_far + minutes[i + 1]) * many - due)):
            lots.append((first, i + 1, so_far - begun))
            first, begun = i + 1, so_far
    return lots


def minutes_said(minutes: Fraction) -> str:
    return f"{float(minutes):.1f}".removesuffix(".0")
