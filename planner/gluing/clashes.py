"""Timetables that were made apart and are worked through together: where more is in use than there is.

Each by itself keeps to what the shop has; whoever is in the shop of an evening works by all of them. Kinds that serve
alike are one pool to a board ("jigs: Long jig and Short jig"), and another board's pool may be but one of them. So a
moment holds where, for every set of kinds, what can be taken from those alone is no more than there are of them (the
condition of Hall, 1935, for several of one thing).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations


@dataclass(frozen=True, slots=True)
class InUse:
    """``many`` of ``pool`` are in use from ``begins`` until ``ends``, for ``words`` of the timetable ``whose``. Times
    are whole numbers that all count from one moment."""

    whose: str
    words: str
    pool: str
    many: int
    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class Clash:
    """From ``at`` on ``wanted`` of ``kinds`` are in use at once, by ``uses`` of more than one timetable, and ``there``
    are there."""

    kinds: tuple[str, ...]
    at: int
    wanted: int
    there: int
    uses: tuple[InUse, ...]

    @property
    def whose(self) -> frozenset[str]:
        return frozenset(use.whose for use in self.uses)


def clashes(uses: Sequence[InUse], there: Mapping[str, int], pooled: Mapping[str, int]) -> tuple[Clash, ...]:
    """Where timetables get in each other's way: the first moment of each set of timetables and kinds, in order.

    ``there`` is how many there are of each kind by itself ("jigs: Long jig"); ``pooled`` how many a pool was reckoned
    with, for pools of which a kind is not known any more. What one timetable takes too much of by itself is none.
    """
    kinds = {use.pool: kinds_of(use.pool, there) for use in uses}
    known = {**{pool: pooled.get(pool, 0) for pool, names in kinds.items() if names == (pool,)}, **there}
    found: dict[tuple[frozenset[str], tuple[str, ...]], Clash] = {}
    for at in sorted({use.begins for use in uses}):
        now = [use for use in uses if use.begins <= at < use.ends]
        for clash in _at(at, now, kinds, known):
            found.setdefault((clash.whose, clash.kinds), clash)
    return tuple(sorted(found.values(), key=lambda clash: (clash.at, clash.kinds)))


def kinds_of(pool: str, there: Mapping[str, int]) -> tuple[str, ...]:
    """The kinds a pool is put together from, or the pool as one kind where that is not known any more.

    >>> kinds_of("jigs: Long jig and Short jig", {"jigs: Long jig": 2, "jigs: Short jig": 1})
    ('jigs: Long jig', 'jigs: Short jig')
    """
    what, colon, names = pool.partition(": ")
    if not colon or pool in there:
        return (pool,)
    parts = names.split(" and ")
    return _put_together([f"{what}: "], parts, there) or (pool,)


def _put_together(before: list[str], parts: Sequence[str], there: Mapping[str, int]) -> tuple[str, ...] | None:
    """``parts`` joined so that each is a kind there is; a kind's own name may have an "and" in it."""
    if not parts:
        return ()
    for many in range(1, len(parts) + 1):
        name = before[0] + " and ".join(parts[:many])
        if name in there:
            rest = _put_together(before, parts[many:], there)
            if rest is not None:
                return (name, *rest)
    return None


def _at(at: int, now: Sequence[InUse], kinds: Mapping[str, tuple[str, ...]], known: Mapping[str, int]) -> list[Clash]:
    """The smallest sets of kinds of which too many are in use at a moment."""
    found: list[Clash] = []
    # Jigs stand in for no clamps: each sort of tool is looked at by itself.
    for sort in sorted({use.pool.partition(": ")[0] for use in now}):
        of_sort = [use for use in now if use.pool.partition(": ")[0] == sort]
        found += _of_sort(at, of_sort, kinds, known)
    return found


def _of_sort(
    at: int, now: Sequence[InUse], kinds: Mapping[str, tuple[str, ...]], known: Mapping[str, int]
) -> list[Clash]:
    pools = sorted({frozenset(kinds[use.pool]) for use in now}, key=sorted)
    found: list[Clash] = []
    for several in range(1, len(pools) + 1):
        for chosen in combinations(pools, several):
            union = frozenset().union(*chosen)
            if any(set(clash.kinds) <= union for clash in found):
                continue
            inside = tuple(use for use in now if union >= set(kinds[use.pool]))
            wanted, have = sum(use.many for use in inside), sum(known[kind] for kind in union)
            if wanted > have and len({use.whose for use in inside}) > 1:
                found.append(Clash(tuple(sorted(union)), at, wanted, have, inside))
    return found
