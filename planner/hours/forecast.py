"""Hours still to be worked, from times that were learned: what is likely, and what to promise by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from planner.errors import PlannerError
from planner.hours.learning import Times

# Four jobs in five take no longer than this many spreads above the likely: the normal's eightieth hundredth.
_FOUR_IN_FIVE = 0.8416


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes: ``likely`` is as often too much as too little, ``careful`` is enough four times in five and ``quick``
    one time in five. ``spread`` is that of the logarithm, ``jobs`` how many of the maker's own it rests on."""

    likely: float
    careful: float
    quick: float
    spread: float
    jobs: int


def forecast(times: Times, counts: Mapping[str, Fraction | int]) -> Forecast:
    """What a piece of work of these ``counts`` takes. Raises PlannerError for an operation the times do not know and
    where nothing is counted that takes time."""
    return _forecast(times, [counts])


def forecast_together(times: Times, works: Sequence[Mapping[str, Fraction | int]]) -> Forecast:
    """What several pieces of work take together. What is not known of the maker is the same in all of them; how single
    pieces scatter is not, and careful figures are never added up."""
    return _forecast(times, works)


def _forecast(times: Times, works: Sequence[Mapping[str, Fraction | int]]) -> Forecast:
    names = list(times.defaults)
    for name in {name for work in works for name in work}:
        if name not in times.defaults:
            raise PlannerError(f"There is no operation called “{name}”.", mend=f"Use {', '.join(names)}.")
    each = np.array([times.minutes[name] for name in names])
    parts = np.array([[float(work.get(name, 0)) for name in names] for work in works]).reshape(-1, len(names)) * each
    totals = parts.sum(axis=1)
    whole = float(totals.sum())
    if whole <= 0:
        raise PlannerError("Nothing is counted that takes time.", mend="Say what is to be done.", field="counts")
    share = parts.sum(axis=0) / whole
    scatter2 = times.scatter**2 * float((totals**2).sum()) / whole**2
    spread = float(np.sqrt(share @ times.spread @ share + scatter2))
    return Forecast(
        whole,
        whole * float(np.exp(_FOUR_IN_FIVE * spread)),
        whole * float(np.exp(-_FOUR_IN_FIVE * spread)),
        spread,
        times.jobs,
    )
