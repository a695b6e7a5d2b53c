"""Which jigs take a row and which clamps reach across a glue-up, pooled so far as they serve alike.

Jigs of two kinds that both take every row there is are as good as more of one kind. Where only one kind takes a
board's rows, the others are counted by themselves. Every task is given its kind of jig and clamps beforehand, for
nobody changes clamps while glue sets; rows that several kinds take are dealt out among them in turn, by how many there
are of each.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from planner.gluing.materials import Clamps, GlueShop, RowJigs
from planner.gluing.terms import TimetableError
from planner.measures import Length, format_length

BENCH = "bench places"


@dataclass(frozen=True, slots=True)
class Pool:
    """``count`` of something that all serve up to ``size``."""

    name: str
    count: int
    size: Length


def pooled(kinds: Sequence[Clamps | RowJigs], needs: Collection[Length], what: str) -> tuple[Pool, ...]:
    """Kinds that serve the same of the ``needs`` as one, the smallest first; what serves none of them is left out."""
    by_served: dict[int, list[Clamps | RowJigs]] = {}
    for kind in kinds:
        served = sum(need <= _size(kind) for need in set(needs))
        if kind.count and served:
            by_served.setdefault(served, []).append(kind)
    pools = []
    for served in sorted(by_served):
        alike = by_served[served]
        names = " and ".join(dict.fromkeys(kind.name for kind in alike))
        pools.append(Pool(f"{what}: {names}", sum(k.count for k in alike), min(_size(k) for k in alike)))
    return tuple(pools)


def _size(kind: Clamps | RowJigs) -> Length:
    return kind.reach if isinstance(kind, Clamps) else kind.longest


@dataclass
class Tools:
    """The shop's jigs and clamps for glue-ups of these ``lengths`` of rows and ``reaches`` across."""

    shop: GlueShop
    lengths: Collection[Length]
    reaches: Collection[Length]
    unit: str
    jigs: tuple[Pool, ...] = ()
    clamps: tuple[Pool, ...] = ()
    _dealt: dict[Length, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.jigs = pooled(self.shop.jigs, self.lengths, "jigs")
        self.clamps = pooled(self.shop.clamps, self.reaches, "clamps")

    @property
    def capacity(self) -> dict[str, int]:
        found = {pool.name: pool.count for pool in (*self.jigs, *self.clamps)}
        return found | {BENCH: self.shop.bench_places}

    def jig_for(self, length: Length, words: str) -> tuple[str, int]:
        """A jig that takes so long a row, dealt out in turn. Raises TimetableError naming the longest there is."""
        turns = [pool.name for pool in self.jigs if pool.size >= length for _ in range(pool.count)]
        if not turns:
            longest = max((kind.longest for kind in self.shop.jigs if kind.count), default=None)
            there = "there is no row jig" if longest is None else f"the longest row jig takes {self.says(longest)}"
            raise TimetableError(
                f"{words} is {self.says(length)} long with what is left at its ends; {there}.",
                mend="Make a longer row jig and write it in the workshop's records, or make the board shorter.",
                field="jigs",
            )
        turn = self._dealt.get(length, 0)
        self._dealt[length] = turn + 1
        return turns[turn % len(turns)], 1

    def clamps_for(self, reach: Length, many: int, at_once: int, words: str) -> tuple[tuple[str, int], ...]:
        """``many`` clamps that open to ``reach``: of the smallest kind of which there are enough for as many glue-ups
        ``at_once`` as there can be, or put together of several kinds. Raises TimetableError."""
        if not many:
            return ()
        reaching = [pool for pool in self.clamps if pool.size >= reach]
        if not reaching:
            widest = max((kind.reach for kind in self.shop.clamps if kind.count), default=None)
            there = "there are no clamps" if widest is None else f"the widest clamps open to {self.says(widest)}"
            raise TimetableError(
                f"{words} needs clamps that open to {self.says(reach)}; {there}.",
                mend="Get longer clamps and write them in the workshop's records, or make the board less wide.",
                field="clamps",
            )
        best = max(reaching, key=lambda pool: (min(pool.count // many, at_once), -pool.size.mm))
        if best.count >= many:
            return ((best.name, many),)
        if sum(pool.count for pool in reaching) < many:
            raise TimetableError(
                f"{words} needs {many} clamps that open to {self.says(reach)}; there are "
                f"{sum(pool.count for pool in reaching)}.",
                mend="Get more clamps, or let them stand further apart if the adhesive's sheet and the cauls allow it.",
                field="clamps",
            )
        found, left = [], many
        for pool in reaching:
            taken = min(pool.count, left)
            if taken:
                found.append((pool.name, taken))
            left -= taken
        return tuple(found)

    def bench_for(self, words: str) -> tuple[str, int]:
        if not self.shop.bench_places:
            raise TimetableError(
                f"{words} needs a place at the bench; there is none.",
                mend="Write how many places there are in the workshop's records.",
                field="bench_places",
            )
        return BENCH, 1

    def says(self, length: Length) -> str:
        return format_length(length, self.unit)
