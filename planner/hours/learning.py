"""The maker's own times, from work that was logged: whole jobs or single operations, as they come.

Each operation takes its default times e^b, so that no time is ever below nought. What is believed before anything was
logged: all b share this maker's pace (spread ``PACE``) and each strays from it (``STRAY``). A log says what some
counts took together; its scatter has long tails (Student's t with four degrees of freedom), so that a timer somebody
forgot outweighs nothing. The most likely b is found by Gauss and Newton's steps, each log weighted by how well it fits
(iteratively reweighted least squares; textbook methods). Lines of one job share that job's day, good or bad (``DAY``);
what a whole job scatters by is told by the jobs' sums and never by single lines. The spreads are assumptions, wide on
purpose: with narrow ones the careful figure of a maker far from the defaults is too low too often.

A time the maker set by hand stands as it was set, whatever the log says; how sure it is, is believed of it alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.hours.standard import DEFAULT_TIMES

PACE, STRAY, SCATTER, DAY = 0.6, 0.35, 0.14, 0.12
_TAILS = 4.0
# With such tails the scale of what is normal comes out too small: its square is this many times smaller than the
# variance (the fixed point of s² = E[5 z² ÷ (4 + z² ÷ s²)]). It is put right where jobs were logged in several lines;
# of whole jobs the few scales there are stay as the worked example has them.
_OF_NORMAL = 1.448
_MOST_ROUNDS = 60
_STILL = 1e-9
# A step may turn an operation's time by at most this factor's logarithm, lest it runs away from the data.
_LONGEST_STEP = 1.0


@dataclass(frozen=True, slots=True)
class Logged:
    """``minutes`` that ``counts`` of operations took together; an operation left out was not done. ``job`` tells which
    job it was of: several lines of one job are one job to whoever counts jobs."""

    counts: Mapping[str, Fraction | int]
    minutes: Fraction | int
    job: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Times:
    """Minutes an operation takes this maker, in the order of ``defaults``; ``spread`` of their logarithms and how they
    go together (a square array), ``scatter`` of single jobs around them. ``jobs`` were logged, ``seen`` says how often
    each operation was counted in them and ``jobs_of`` in how many. ``by_hand`` are the times that were set and not
    learned."""

    defaults: Mapping[str, Fraction]
    minutes: Mapping[str, float]
    spread: NDArray[np.float64]
    scatter: float
    jobs: int
    seen: Mapping[str, Fraction]
    jobs_of: Mapping[str, int] = field(default_factory=dict)
    by_hand: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def exact(self) -> dict[str, Fraction]:
        """The minutes as they are shown and reckoned with: what was set as it was set, what was learned to three
        figures, and the defaults as they are while nothing is logged."""
        return {
            name: self.by_hand[name]
            if name in self.by_hand
            else three_figures(self.minutes[name])
            if self.jobs
            else Fraction(self.defaults[name])
            for name in self.defaults
        }

    def said_of(self, operation: str) -> str:
        """Where an operation's time is from, in words."""
        if operation in self.by_hand:
            return "set by hand"
        if jobs := self.jobs_of.get(operation, 0):
            return f"your log, {jobs} job{'s' * (jobs != 1)} of yours"
        return "the default, at your pace in the rest" if self.jobs else "the default, an assumption"

    def with_set(self, by_hand: Mapping[str, Fraction]) -> Times:
        """These times with some set by hand. How far such a time may be off has nothing to do with the pace of the
        rest. Raises PlannerError for an operation the times do not know and for a time below nought."""
        spread, names = self.spread.copy(), list(self.defaults)
        for name, time in by_hand.items():
            if name not in self.defaults:
                raise PlannerError(f"There is no operation called “{name}”.", mend=f"Use {', '.join(names)}.")
            if time < 0:
                raise PlannerError(f"“{name}” takes less than nought.", mend="Write minutes of 0 or more.", field=name)
            i = names.index(name)
            own = min(spread[i, i], STRAY**2)
            spread[i, :] = spread[:, i] = 0
            spread[i, i] = own
        minutes = {**self.minutes, **{name: float(time) for name, time in by_hand.items()}}
        return replace(self, minutes=minutes, spread=spread, by_hand={**self.by_hand, **by_hand})

    def sure_within(self, operation: str) -> tuple[float, float]:
        """Minutes between which the operation's time lies with four chances in five."""
        i = list(self.defaults).index(operation)
        # The normal's tenth and ninetieth hundredth.
        factor = float(np.exp(1.2816 * np.sqrt(self.spread[i, i])))
        return self.minutes[operation] / factor, self.minutes[operation] * factor


def learn(log: Sequence[Logged], defaults: Mapping[str, Fraction] = DEFAULT_TIMES, *, fading: float = 1.0) -> Times:
    """The times of a maker who logged ``log``, oldest first; without a log, the defaults.

    ``fading`` below 1 weights every job less than the one after it by that factor: for somebody who is still getting
    quicker. An operation whose default is nought stays at nought. Raises PlannerError for minutes of nought or less,
    counts below nought, operations that are not among ``defaults``, and a log that counts nothing.
    """
    names = [name for name in defaults if defaults[name] > 0]
    start = np.array([float(defaults[name]) for name in names])
    at = {name: i for i, name in enumerate(names)}
    counts = np.zeros((len(log), len(names)))
    seen, jobs_of = dict.fromkeys(defaults, Fraction(0)), {name: set[str | int]() for name in defaults}
    for i, line in enumerate(log):
        _check(line, defaults)
        for name, count in line.counts.items():
            if count:
                seen[name] += count
                jobs_of[name].add(line.job or i)
                if name in at:
                    counts[i, at[name]] = count
    # A line that counts only what takes no time by the defaults tells nothing of the others.
    timed = [i for i in range(len(log)) if counts[i].any()]
    minutes = np.array([float(log[i].minutes) for i in timed])
    counts, job = counts[timed], _jobs_of([log[i] for i in timed])
    weight = fading ** (job.max() - job.astype(float)) if len(job) else np.zeros(0)
    b, spread = _fit(counts, np.log(minutes), start, weight, job)
    scatter = _scatter_of_jobs(counts * (start * np.exp(b)), minutes, weight, job)
    own = dict(zip(names, start * np.exp(b), strict=True))
    whole = np.zeros((len(defaults), len(defaults)))
    timed_at = [i for i, name in enumerate(defaults) if name in own]
    whole[np.ix_(timed_at, timed_at)] = spread
    return Times(
        dict(defaults),
        {name: float(own.get(name, 0.0)) for name in defaults},
        whole,
        scatter,
        len({line.job or number for number, line in enumerate(log)}),
        seen,
        {name: len(found) for name, found in jobs_of.items()},
    )


def times_as_said(times: Mapping[str, Fraction]) -> Times:
    """Times out of no log: the defaults, and what differs from them as set by hand."""
    said = {name: Fraction(time) for name, time in times.items() if time != DEFAULT_TIMES.get(name)}
    return learn(()).with_set(said)


def three_figures(value: float) -> Fraction:
    """``value`` to three figures, exactly.

    >>> three_figures(0.53349), three_figures(123.4), three_figures(0)
    (Fraction(533, 1000), Fraction(123, 1), Fraction(0, 1))
    """
    return Fraction(f"{value:.3g}")


def _check(line: Logged, defaults: Mapping[str, Fraction]) -> None:
    if line.minutes <= 0:
        raise PlannerError("Work that took no time cannot be learned from.", mend="Write its minutes.", field="minutes")
    for name, count in line.counts.items():
        if name not in defaults:
            raise PlannerError(f"There is no operation called “{name}”.", mend=f"Use {', '.join(defaults)}.")
        if count < 0:
            raise PlannerError("Nothing is done less than not at all.", mend="Write counts from 0.", field="counts")
    if not any(line.counts.values()):
        raise PlannerError("Nothing is counted that took this time.", mend="Say what was done.", field="counts")


def _jobs_of(log: Sequence[Logged]) -> NDArray[np.intp]:
    """The number of each line's job, from 0 in the order in which they begin."""
    order = {key: number for number, key in enumerate(dict.fromkeys(line.job or i for i, line in enumerate(log)))}
    return np.array([order[line.job or i] for i, line in enumerate(log)], dtype=np.intp)


def _fit(
    counts: NDArray[np.float64],
    said: NDArray[np.float64],
    start: NDArray[np.float64],
    weight: NDArray[np.float64],
    job: NDArray[np.intp],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The most likely logarithms of pace, and their spread. Lines scatter each by itself, and single operations and
    those of a job of several by its day as well: what they say together is taken back by as much (the inverse of a
    diagonal and a product of one column, after Sherman and Morrison). Of a whole job the day is in its scatter."""
    n = len(start)
    several = np.bincount(job, minlength=1)[job] > 1
    several |= (counts > 0).sum(axis=1) == 1
    days = np.unique(job[several], return_inverse=True)[1]
    believed = np.linalg.inv(PACE**2 * np.ones((n, n)) + STRAY**2 * np.eye(n))
    b, scatter2 = np.zeros(n), SCATTER**2
    curve = believed
    for _ in range(_MOST_ROUNDS if len(said) else 0):
        times = counts * (start * np.exp(b))
        total = times.sum(axis=1)
        share, off = times / total[:, None], said - np.log(total)
        fits = weight * (_TAILS + 1) / (_TAILS + off**2 / scatter2)
        own = fits / scatter2
        heard = own[several, None] * share[several]
        of_day, said_of_day = np.zeros((days.max(initial=-1) + 1, n)), np.bincount(days, own[several] * off[several])
        np.add.at(of_day, days, heard)
        shared = of_day.T / (1 / DAY**2 + np.bincount(days, own[several]))
        curve = share.T @ (own[:, None] * share) - shared @ of_day + believed
        pull = share.T @ (own * off) - shared @ said_of_day - believed @ b
        step = np.linalg.solve(curve, pull)
        step *= min(1.0, _LONGEST_STEP / max(float(np.abs(step).max()), 1e-12))
        b = b + step
        scatter2 = (_TAILS * SCATTER**2 + float((fits * off**2).sum())) / (_TAILS + float(weight.sum()))
        if float(np.abs(step).max()) < _STILL:
            break
    return b, np.linalg.inv(curve)


def _scatter_of_jobs(
    times: NDArray[np.float64],
    minutes: NDArray[np.float64],
    weight: NDArray[np.float64],
    job: NDArray[np.intp],
) -> float:
    """By how much (of the logarithm) whole jobs stray from what the learned times make of them."""
    if not len(job):
        return SCATTER
    off = np.log(np.bincount(job, minutes) / np.bincount(job, times.sum(axis=1)))
    lines = np.bincount(job)
    enough = _OF_NORMAL if (lines > 1).any() else 1.0
    counted = np.bincount(job, weight) / lines
    scatter2 = SCATTER**2
    for _ in range(_MOST_ROUNDS):
        fits = counted * (_TAILS + 1) / (_TAILS + off**2 / scatter2)
        strays = enough * float((fits * off**2).sum())
        before, scatter2 = scatter2, (_TAILS * SCATTER**2 + strays) / (_TAILS + float(counted.sum()))
        if abs(scatter2 - before) < _STILL:
            break
    return float(np.sqrt(scatter2))
