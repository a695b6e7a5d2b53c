"""In which order a fence is set so that it moves least in sum, and as much as can be is held of what is fed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

# Up to here every order is weighed (by what is done, not one by one); beyond it the two ways along the scale are.
MOST_EXACT = 10
# The least that is fed at setting ``next`` when the settings in ``done`` are behind it.
Feeds = Callable[[frozenset[int], int], int]
# What is weighed: the travel, the least fed (turned round), the distances in order (turned round).
_Value = tuple[int, int, tuple[int, ...]]


def least_travel(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...]:
    """The order of the settings in which the fence moves least in sum, from the first to the last of them.

    ``distances`` in units. Of orders that move it equally far the one whose least piece fed is the largest is taken,
    and of those the one that begins with the largest distances. Exact for up to ``MOST_EXACT`` settings (the least
    over subsets and last settings, Held and Karp 1962, from memory); beyond that the fence goes one way along its
    scale, down or up, whichever feeds more, and no order moves it less than that.

    >>> least_travel([20, 60, 43], lambda done, next: 100)
    (1, 2, 0)
    """
    if not distances:
        return ()
    return _exact(distances, feeds) if len(distances) <= MOST_EXACT else _along(distances, feeds)


def _exact(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...]:
    # (done, last) -> the best way there
    n = len(distances)
    now: dict[tuple[frozenset[int], int], tuple[_Value, tuple[int, ...]]] = {
        (frozenset((first,)), first): ((0, -feeds(frozenset(), first), (-distances[first],)), (first,))
        for first in range(n)
    }
    for _ in range(n - 1):
        then: dict[tuple[frozenset[int], int], tuple[_Value, tuple[int, ...]]] = {}
        fed = {
            (done, step): feeds(done, step) for done in {key[0] for key in now} for step in range(n) if step not in done
        }
        for (done, last), ((travel, least, path), order) in now.items():
            for step in range(n):
                if step in done:
                    continue
                further = travel + abs(distances[last] - distances[step])
                value = (further, max(least, -fed[done, step]), (*path, -distances[step]))
                key = done | {step}, step
                if key not in then or value < then[key][0]:
                    then[key] = value, (*order, step)
        now = then
    return min(now.values())[1]


def _along(distances: Sequence[int], feeds: Feeds) -> tuple[int, ...]:
    found = []
    for way in (-1, 1):
        order = sorted(range(len(distances)), key=lambda i: way * distances[i])
        least = max(-feeds(frozenset(order[:n]), step) for n, step in enumerate(order))
        found.append((least, way, tuple(order)))
    return min(found)[2]
