"""Tasks in an order that keeps every wait, and those that have to be put in together because a most ties them."""

from __future__ import annotations

from collections.abc import Sequence

from planner.gluing.terms import TimetableError

Before = Sequence[Sequence[tuple[int, int]]]


def in_order(before: Before) -> list[int]:
    """Every number after those before it, as it stands otherwise. Raises TimetableError where they wait in a ring."""
    after: list[list[int]] = [[] for _ in before]
    waits = [0] * len(before)
    for then, firsts in enumerate(before):
        for first, _ in firsts:
            after[first].append(then)
            waits[then] += 1
    ready = [i for i in reversed(range(len(before))) if not waits[i]]
    order = []
    while ready:
        i = ready.pop()
        order.append(i)
        for j in after[i]:
            waits[j] -= 1
            if not waits[j]:
                ready.append(j)
    if len(order) != len(before):
        raise TimetableError("Some tasks wait for one another in a ring.", mend="Take one of the links out.")
    return order


def bundles_of(before: Before, mosts: Before, order: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """By the first of each bundle the others, in order: whatever a most ties together, and what lies on a way between
    two of them."""
    group = list(range(len(before)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    tied = {i for i, many in enumerate(mosts) if many} | {j for many in mosts for j, _ in many}
    for i, many in enumerate(mosts):
        for j, _ in many:
            group[root(i)] = root(j)
    grown = bool(tied)
    while grown:
        grown = False
        # Which bundles lie before each task; one that lies before its own member takes in what is on the way.
        above: list[set[int]] = [set() for _ in before]
        for i in order:
            for p, _ in before[i]:
                above[i] |= above[p]
                if p in tied:
                    above[i].add(root(p))
        below: list[set[int]] = [set() for _ in before]
        for i in reversed(order):
            if i in tied:
                below[i].add(root(i))
            for p, _ in before[i]:
                below[p] |= below[i]
        for i in order:
            for bundle in above[i] & below[i]:
                if i not in tied or root(i) != root(bundle):
                    tied.add(i)
                    group[root(i)] = root(bundle)
                    grown = True
    found: dict[int, list[int]] = {}
    for i in order:
        if i in tied:
            found.setdefault(root(i), []).append(i)
    return {members[0]: tuple(members[1:]) for members in found.values() if len(members) > 1}
