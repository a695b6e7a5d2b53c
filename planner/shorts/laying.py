"""Laying by counts: bundles of parts into whole strips, in one fixed order, so that no piece more makes it worse."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil

import numpy as np

from planner.shorts.wanted import Line
from planner.shorts.whole import Whole

# How many of the parts' own lengths, and which multiples of each, are tried as the size of a bundle.
_LENGTHS_TRIED = 6
_MULTIPLES = (1, 2, 3, 5)
# How many strips of the widest kind are ripped from one rough length before the rest of its width is left to the next.
_WIDEST_TRIED = (10**6, 1, 2)

# Parts in one bundle, (number of the part, how many); and how many bundles are alike.
Bundle = tuple[tuple[int, int], ...]
Alike = tuple[Bundle, int]


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """Rough lengths, the shortest first: a strip's usable length, and the width there is for strips."""

    usable: Whole
    across: Whole


@dataclass(frozen=True, slots=True)
class Strips:
    """Strips out of the rough length at ``place``; ``bundles`` of a run lie in them, ``each`` in a strip, from bundle
    ``first`` on."""

    place: int
    each: int
    first: int
    bundles: int
    run: tuple[Alike, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """How many of each line have no place, by the line's number, and the strips of the others."""

    lacking: Mapping[int, int]
    strips: tuple[Strips, ...]


def area_of(lines: Sequence[Line], counts: Mapping[int, int], kerf: int) -> int:
    """Square nanometres of strip, kerfs included, for so many of each line."""
    return sum(lines[n].weight * (lines[n].width + kerf) * count for n, count in counts.items())


def out_of_reach(lines: Sequence[Line], room: Room) -> dict[int, int]:
    """The lines of which none has a place even in a rack of its own: too long or too wide for all there is."""
    longest, widest = (int(side.max(initial=0)) for side in (room.usable, room.across))
    return {n: line.count for n, line in enumerate(lines) if line.weight > longest or line.width > widest}


def best_laying(lines: Sequence[Line], room: Room, kerf: int) -> Laid:
    """The laying that leaves least area lacking, over all sizes of bundle that are tried. Where nothing lacks but what
    is out of reach, small bundles use up short pieces and large ones need fewer strips; what opens less wood is taken.
    ``kerf`` is that of the rip."""
    everything = dict(enumerate(line.count for line in lines))
    least = area_of(lines, everything, kerf)
    never = area_of(lines, out_of_reach(lines, room), kerf)
    best = Laid(everything, ())
    if never == least:
        return best
    tries = _tries(lines, int(room.usable.max()))
    for size, most in tries:
        laid = _lay(lines, size, most, room, kerf)
        missing = area_of(lines, laid.lacking, kerf)
        if missing < least:
            best, least = laid, missing
        if missing == never:
            break
    if least != never:
        return best
    for size, most in reversed(tries):
        laid = _lay(lines, size, most, room, kerf)
        if area_of(lines, laid.lacking, kerf) == never:
            return min(best, laid, key=lambda one: _opened(one, room))
    return best


def _opened(laid: Laid, room: Room) -> int:
    """Square nanometres of the rough lengths that are opened."""
    places = list({strips.place for strips in laid.strips})
    return sum(int(room.usable[place]) * int(room.across[place]) for place in places)


def _tries(lines: Sequence[Line], longest: int) -> list[tuple[int, int]]:
    """Sizes of a bundle, and how many strips of the widest kind are ripped at once. What no strip holds would only be
    bundled with what some strip does, so that larger sizes than the longest strip are left out then."""
    mosts = _WIDEST_TRIED if len({line.width for line in lines}) > 1 else _WIDEST_TRIED[:1]
    sizes = _sizes(tuple(line.weight for line in lines))
    if any(line.weight > longest for line in lines):
        sizes = tuple(size for size in sizes if size <= longest)
    return [(size, most) for most in mosts for size in sizes]


@lru_cache(maxsize=1024)
def _sizes(weights: tuple[int, ...]) -> tuple[int, ...]:
    """Sizes of a bundle to be tried, smallest first: some of the parts' own lengths, kerf included, and multiples. They
    depend on the parts alone."""
    own = sorted(set(weights))
    step = max(1, ceil((len(own) - 1) / (_LENGTHS_TRIED - 1)))
    some = {*own[::step], own[-1]}
    return tuple(sorted({length * many for length in some for many in _MULTIPLES}))


def _lay(lines: Sequence[Line], size: int, most: int, room: Room, kerf: int) -> Laid:
    """Widths one after another, the widest first. It rips ``most`` strips at once from a rough length, or as many as
    there are, needed or not, and leaves what is over of the width to the second; any after these only have rough
    lengths that nothing was ripped from."""
    across, touched = room.across, np.zeros(len(room.usable), dtype=np.bool_)
    lacking: dict[int, int] = {}
    strips: list[Strips] = []
    for turn, width in enumerate(sorted({line.width for line in lines}, reverse=True)):
        left = np.maximum((across + kerf) // (width + kerf), 0)
        if turn == 0:
            left = np.minimum(left, most)
        ripped = left * (width + kerf)
        mine = tuple((n, line.weight, line.count) for n, line in enumerate(lines) if line.width == width)
        for weight, run in _runs(mine, size):
            bundles = sum(alike for _, alike in run)
            got = 0
            for place, used, each, items in _fill(left, room.usable, weight, bundles):
                left[place] -= used
                touched[place] = True
                strips.append(Strips(place, each, got, items, run))
                got += items
            for bundle, alike in _stretch(run, got, bundles - got):
                for number, count in bundle:
                    lacking[number] = lacking.get(number, 0) + count * alike
        across = np.where(touched, room.across - ripped if turn == 0 else 0, room.across)
    return Laid(lacking, tuple(strips))


@lru_cache(maxsize=8192)
def _runs(parts: tuple[tuple[int, int, int], ...], size: int) -> tuple[tuple[int, tuple[Alike, ...]], ...]:
    """Bundles in the order they are laid, (what the heaviest weighs, the bundles). ``parts`` are (number, weight,
    count).

    What is longer than ``size`` is laid by itself, one length after another, the longest first; all else is bundled
    up to ``size`` and laid last. Parts of one length need no bundle."""
    ordered = sorted((part for part in parts if part[2]), key=lambda part: (-part[1], part[0]))
    alone = len({weight for _, weight, _ in ordered}) == 1
    found: list[tuple[int, tuple[Alike, ...]]] = [
        (weight, ((((number, 1),), count),)) for number, weight, count in ordered if alone or weight > size
    ]
    if rest := [part for part in ordered if not alone and part[1] <= size]:
        run = _bundled(rest, size)
        weights = {number: weight for number, weight, _ in rest}
        heaviest = max(sum(weights[number] * count for number, count in bundle) for bundle, _ in run)
        found.append((heaviest, run))
    return tuple(found)


def _bundled(parts: Sequence[tuple[int, int, int]], size: int) -> tuple[Alike, ...]:
    """First-fit decreasing into bundles of ``size``: one after another filled with the longest that still fits, and
    all that come out alike at once."""
    left = {number: count for number, _, count in parts}
    found: list[Alike] = []
    while left:
        room = size
        inside: list[tuple[int, int]] = []
        for number, weight, _ in parts:
            if fits := min(left.get(number, 0), room // weight):
                inside.append((number, fits))
                room -= weight * fits
        alike = min(left[number] // fits for number, fits in inside)
        for number, fits in inside:
            left[number] -= fits * alike
            if not left[number]:
                del left[number]
        found.append((tuple(inside), alike))
    return tuple(found)


def _fill(left: Whole, usable: Whole, weight: int, bundles: int) -> list[tuple[int, int, int, int]]:
    """Whole strips in the fixed order until ``bundles`` of ``weight`` have their place or the strips end:
    (place, strips, bundles a strip, bundles)."""
    first = int(np.searchsorted(usable, weight))
    each = usable[first:] // weight
    reach = np.cumsum(left[first:] * each)
    end = int(np.searchsorted(reach, bundles)) + 1
    found, before = [], 0
    for n, upto in enumerate(reach[:end].tolist()):
        if items := min(upto, bundles) - before:
            many = int(each[n])
            found.append((first + n, -(-items // many), many, items))
            before += items
    return found


def unrolled(strips: Strips) -> Iterator[dict[int, int]]:
    """What lies in each of the strips: how many of each line, by its number."""
    flat = [bundle for bundle, alike in _stretch(strips.run, strips.first, strips.bundles) for _ in range(alike)]
    for start in range(0, len(flat), strips.each):
        inside: dict[int, int] = {}
        for bundle in flat[start : start + strips.each]:
            for number, count in bundle:
                inside[number] = inside.get(number, 0) + count
        yield inside


def _stretch(run: Sequence[Alike], first: int, many: int) -> Iterator[Alike]:
    """The bundles of a run from ``first`` on, ``many`` of them."""
    passed = 0
    for bundle, alike in run:
        inside = min(first + many, passed + alike) - max(first, passed)
        if inside > 0:
            yield bundle, inside
        passed += alike
