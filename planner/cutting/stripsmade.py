"""What parts that come out longer than planned take from the end of their strips, which stays in the hold-down.

A cut plan leaves many strips the grip and little more. Parts cut at stops that follow what was measured may need more
of a strip than it has; its last part is then left uncut rather than cut with too little held.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from planner.cutting.asmade import AsMade, PartMade
from planner.cutting.fromshop.units import FINEST
from planner.cutting.plan import CutFile
from planner.cutting.setups.reading import CutStrip, CutWood, read
from planner.measures import ZERO, Length


@dataclass(frozen=True, slots=True)
class StripShort:
    """A strip that would keep only ``left`` in the hold-down once all its parts are cut as long as they are made;
    ``fewer`` of its parts, left uncut, keep the grip there."""

    name: str
    wood: str
    left: Length
    fewer: int


def strips_short(file: CutFile, made: AsMade) -> tuple[StripShort, ...]:
    """The strips of ``file.plan`` whose parts, as ``made``, leave less than the plan's grip (or its snipe, where that
    is more), in the plan's order; those that did so before anything was measured are left to their set-ups.

    Raises SetUpError for a file without a plan.
    """
    wood = read(file)
    rules = wood.rules
    grip = wood.length(max(rules.grip, rules.snipe))
    found = []
    for strip in wood.cut_strips:
        longer = _longer(strip, made.parts, wood)
        planned = _left(strip, wood)
        left = planned - longer
        if longer > ZERO and left < grip <= planned:
            takes = wood.length(min(length for length, _ in strip.parts) + rules.crosscut_kerf)
            found.append(StripShort(strip.name, strip.wood, left, ceil((grip - left) / takes)))
    return tuple(found)


def _left(strip: CutStrip, wood: CutWood) -> Length:
    """What the plan leaves of a strip behind its last part: its front is squared past the snipe first."""
    rules = wood.rules
    head = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    used = sum(count * (length + rules.crosscut_kerf) for length, count in strip.parts)
    return wood.length(1) * (strip.length - head - used)


def _longer(strip: CutStrip, parts: Sequence[PartMade], wood: CutWood) -> Length:
    """How much more of the strip its parts take than planned; below nought for less."""
    cuts: Counter[int] = Counter()
    for length, count in strip.parts:
        cuts[length] += count
    for lengths, times in strip.pieces:
        cuts[strip.joined(lengths)] -= times
        for length in lengths:
            cuts[length] += times
    more = ZERO
    for length, count in cuts.items():
        more = more + _grown(strip.wood, wood.length(length), parts) * count
    return more


def _grown(wood: str, length: Length, parts: Sequence[PartMade]) -> Length:
    """By how much parts of this planned length are longer now, the most where some of them part; a stop left at a mark
    beyond the exact distance makes them longer still."""
    grown = [
        part.crosscut + max(part.set_to - part.stop, ZERO) - part.was
        for part in parts
        if part.wood == wood and ZERO <= length - part.was < FINEST
    ]
    return max(grown, default=ZERO)
