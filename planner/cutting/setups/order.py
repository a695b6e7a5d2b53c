"""In which order a fence is set so that it moves least in sum, and nothing is fed that the shop does not hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

# Up to here every order is weighed (by what is done, not one by one); beyond it the two ways along the scale are.
MOST_EXACT = 10
# The least that is fed at setting ``next`` when the settings in ``done`` are behind it; None where that is not to be.
Feeds = Callable[[frozenset[int], int], int | None]


def least_travel(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...] | None:
    """The order of the settings in which the fence moves least in sum, from the first to the last of them.

    ``distances`` in units. Of orders that move it equally far the one whose least piece fed is the largest is taken,
    and of those the one that begins with the largest distances. Exact for up to ``MOST_EXACT`` settings (the least
    over subsets and last settings, Held and Karp 1962, from memory); beyond that the fence goes one way along its
    scale as often as it takes, down or up, whichever is better. None where no order is allowed.

    >>> least_travel([20, 60, 43], lambda done, next: 100)
    (1, 2, 0)
    """
    if not distances:
        return ()
    return _exact(distances, feeds) if len(distances) <= MOST_EXACT else _along(distances, feeds)


def travel_of(distances: Sequence[int], order: Sequence[int]) -> int:
    return sum(abs(distances[a] - distances[b]) for a, b in pairwise(order))


def _exact(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...] | None:
    # (done, last) -> what is weighed: travel, the least fed (turned round), and the distances in order; and the order.
    Value = tuple[int, int, tuple[int, ...]]
    now: dict[tuple[frozenset[int], int], tuple[Value, tuple[int, ...]]] = {}
    n = len(distances)
    for first in range(n):
        fed = feeds(frozenset(), first)
        if fed is not None:
            now[frozenset((first,)), first] = ((0, -fed, (-distances[first],)), (first,))
    for _ in range(n - 1):
        then: dict[tuple[frozenset[int], int], tuple[Value, tuple[int, ...]]] = {}
        fed_at = {
            (done, step): feeds(done, step) for done in {key[0] for key in now} for step in range(n) if step not in done
        }
        for (done, last), ((travel, least, path), order) in now.items():
            for step in range(n):
                fed = fed_at.get((done, step))
                if fed is None:
                    continue
                further = travel + abs(distances[last] - distances[step])
                value = (further, max(least, -fed), (*path, -distances[step]))
                key = done | {step}, step
                if key not in then or value < then[key][0]:
                    then[key] = value, (*order, step)
        now = then
    return min(now.values())[1] if now else None


def _along(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...] | None:
    found = []
    for way in (-1, 1):
        rest = sorted(range(len(distances)), key=lambda i: way * distances[i])
        order: list[int] = []
        least = 0
        while rest:
            before = len(rest)
            for step in list(rest):
                fed = feeds(frozenset(order), step)
                if fed is not None:
                    order.append(step)
                    rest.remove(step)
                    least = max(least, -fed) if len(order) > 1 else -fed
            if len(rest) == before:
                break
        if not rest:
            found.append((travel_of(distances, order), least, way, tuple(order)))
    return min(found)[3] if found else None
