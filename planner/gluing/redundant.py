"""Which things can run short at all: clamps enough for every jig there is need not be looked at a second time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def binding(uses: Sequence[tuple[tuple[str, int], ...]], capacity: Mapping[str, int]) -> list[str]:
    """The names of what has to be looked at, in order. Left out is what all tasks together do not use up, and what is
    never used without something else of which there are so few that it suffices."""
    names = sorted({what for one in uses for what, _ in one})
    kept = [what for what in names if sum(dict(one).get(what, 0) for one in uses) > capacity[what]]
    for what in list(kept):
        users = [dict(one) for one in uses if what in dict(one)]
        most = max(user[what] for user in users)
        for other in kept:
            if other != what and all(user.get(other) for user in users):
                at_once = capacity[other] // min(user[other] for user in users)
                if at_once * most <= capacity[what]:
                    kept.remove(what)
                    break
    return kept
