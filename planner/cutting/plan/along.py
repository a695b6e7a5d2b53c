"""Rough lengths one behind the other in a clear stretch of a board, and what may be left behind them.

Two tables give the same answers. One goes from place to place, in parts that kerf and grid step have in common: quick
where that part is coarse. The other goes by how many rough lengths there are: m of them hold j grid steps together
where j steps and m - 1 kerfs fit, whatever kerf and step have in common. ``along_of`` takes the one with less to sum.
"""

from __future__ import annotations

from math import gcd
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
# Less than nought by more than any sum of values.
_OUT_OF_REACH = -(2**62)


class Reach(NamedTuple):
    """What a stretch is worth, and where in the table that stands: a row and a column, for ``lengths`` alone."""

    value: int
    row: int
    at: int


class Along(Protocol):
    """The best of rough lengths in a stretch; ``value`` is that of one, by grid steps, nought for none."""

    value: Ints

    def full(self, along: int) -> Reach:
        """Of a stretch ``along`` units long, with nothing said of what is left."""

    def with_end(self, along: int, keep: int, rate: int) -> Reach | None:
        """The same where ``keep`` units or more are left behind them and a cut, worth ``rate`` a unit; None where the
        stretch is shorter."""

    def lengths(self, reach: Reach) -> list[int]:
        """Grid steps of the rough lengths that reach it, none that is worth nothing."""


def along_of(value: Ints, longest: int, grid: int, kerf: int) -> Along:
    """The table for stretches of at most ``longest`` units."""
    # A longer one worth no more than a shorter one is never needed.
    steps = np.flatnonzero(np.diff(np.maximum.accumulate(value), prepend=0) > 0)
    shortest = int(steps[0]) if len(steps) else 1
    places = (longest + kerf) // gcd(grid, kerf)
    numbers = ((longest + kerf) // (shortest * grid + kerf)) * (longest // grid)
    if 2 * numbers < places:
        return ByNumber(value, steps, longest, grid, kerf)
    return ByPlace(value, steps, longest, grid, kerf)


class ByPlace:
    """``best[at]``: rough lengths, each with a kerf behind it, within ``at`` common parts."""

    def __init__(self, value: Ints, steps: NDArray[np.intp], longest: int, grid: int, kerf: int) -> None:
        self.value, self.steps, self.kerf = value, steps, kerf
        self.unit = gcd(grid, kerf)
        self.takes = (steps * grid + kerf) // self.unit
        most = (longest + kerf) // self.unit + 1
        # Before the first place lie as many that nothing can reach as the longest takes, so that none has to be asked.
        ahead = int(self.takes[-1]) if len(steps) else 0
        places = np.full(ahead + most, _OUT_OF_REACH, dtype=np.int64)
        self.best = best = places[ahead:]
        best[:] = 0
        values, begins = value[steps][:, None], (ahead - self.takes)[:, None]
        # No sum within a block needs another one of it.
        block = int(self.takes[0]) if len(steps) else most
        for start in range(block, most, block):
            end = min(start + block, most)
            able = int(np.searchsorted(self.takes, end - 1, side="right"))
            sums = places.take(begins[:able] + np.arange(start, end, dtype=np.int64))
            sums += values[:able]
            best[start:end] = sums.max(axis=0)
            np.maximum.accumulate(best[start - 1 : end], out=best[start - 1 : end])

    def full(self, along: int) -> Reach:
        at = (along + self.kerf) // self.unit
        return Reach(int(self.best[at]), 0, at)

    def with_end(self, along: int, keep: int, rate: int) -> Reach | None:
        most = (along - keep) // self.unit
        if along < keep:
            return None
        ends = self.best[: most + 1] + rate * (along - self.unit * np.arange(most + 1, dtype=np.int64))
        at = int(np.argmax(ends))
        return Reach(int(ends[at]), 0, at)

    def lengths(self, reach: Reach) -> list[int]:
        found, at = [], reach.at
        while at > 0 and self.best[at] > 0:
            if self.best[at - 1] == self.best[at]:
                at -= 1
                continue
            able = self.takes <= at
            exact = self.best[at - self.takes[able]] + self.value[self.steps[able]] == self.best[at]
            which = int(np.flatnonzero(exact)[0])
            found.append(int(self.steps[which]))
            at -= int(self.takes[which])
        return found


class ByNumber:
    """``tables[m][j]``: at most m rough lengths, of at most j grid steps together."""

    def __init__(self, value: Ints, steps: NDArray[np.intp], longest: int, grid: int, kerf: int) -> None:
        self.value, self.steps, self.grid, self.kerf = value, steps, grid, kerf
        self.tables: list[Ints] = [np.zeros(max(longest // grid, 0) + 1, dtype=np.int64)]
        for _ in range((longest + kerf) // (int(steps[0]) * grid + kerf) if len(steps) else 0):
            self.tables.append(self._one_more(self.tables[-1]))

    def _one_more(self, before: Ints) -> Ints:
        best = before.copy()
        for step in self.steps.tolist():
            if step < len(best):
                np.maximum(best[step:], before[: len(best) - step] + self.value[step], out=best[step:])
        return best

    def full(self, along: int) -> Reach:
        found = Reach(0, 0, 0)
        for m, table in enumerate(self.tables):
            at = (along - max(m - 1, 0) * self.kerf) // self.grid
            if at >= 0 and table[at] > found.value:
                found = Reach(int(table[at]), m, at)
        return found

    def with_end(self, along: int, keep: int, rate: int) -> Reach | None:
        found = None
        for m, table in enumerate(self.tables):
            most = (along - keep - m * self.kerf) // self.grid
            if most < 0:
                break
            left = along - m * self.kerf - self.grid * np.arange(most + 1, dtype=np.int64)
            ends = table[: most + 1] + rate * left
            at = int(np.argmax(ends))
            if found is None or int(ends[at]) > found.value:
                found = Reach(int(ends[at]), m, at)
        return found

    def lengths(self, reach: Reach) -> list[int]:
        found, at = [], reach.at
        for m in range(reach.row, 0, -1):
            now, before = int(self.tables[m][at]), self.tables[m - 1]
            if int(before[at]) != now:
                able = self.steps[self.steps <= at]
                step = int(able[before[at - able] + self.value[able] == now][0])
                found.append(step)
                at -= step
        return found
