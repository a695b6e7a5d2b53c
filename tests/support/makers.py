"""Makers who never were, with a pace of their own and a log of jobs, out of a seed.

True times stray from the defaults by a pace e^(0.35 z) and by e^(0.25 z) an operation; every job has a day of its own
(10 %), every operation of it scatters besides (18 %), and of every hundred entries four have a timer forgotten or begun
late (twice, or half).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from planner.hours import DEFAULT_TIMES, Logged, forecast, learn

# The operations of a board of tiles or runs; these makers make no panels.
NAMES = [
    "setup_job", "rip_strip", "crosscut", "row_glue", "joint", "row_join", "strip", "sand_dm2", "oil_dm2",
    "stop_change",
]  # fmt: skip
_DEFAULTS = np.array([float(DEFAULT_TIMES[name]) for name in NAMES])


@dataclass(frozen=True)
class Sort:
    """A sort of makers: spreads of their ``pace`` and of each operation (``stray``), how a job's ``day`` and ``each``
    operation scatter, how many entries are ``slips``; ``slow`` times all defaults, squares and copies of a job, what is
    ``never`` done, and how often somebody with a pace of their own helps with a job (``helped``)."""

    pace: float = 0.35
    stray: float = 0.25
    day: float = 0.10
    each: float = 0.18
    slips: float = 0.04
    slow: float = 1.0
    squares: tuple[int, int] = (8, 33)
    copies: tuple[int, int] = (1, 4)
    never: tuple[str, ...] = ()
    helped: float = 0.0


USUAL = Sort()


@dataclass(frozen=True)
class Maker:
    rng: np.random.Generator
    times: np.ndarray
    sort: Sort = USUAL
    helper: np.ndarray | None = None

    def counts(self) -> dict[str, Fraction]:
        """A job of a size between 8 and 32 squares, one to three boards, unless the sort says otherwise."""
        rng = self.rng
        side, copies = int(rng.integers(*self.sort.squares)), int(rng.integers(*self.sort.copies))
        runs = round(side * side * rng.uniform(0.25, 1.0))
        dm2 = round(2 * (side * 0.25 + 0.8) ** 2, 1)
        each = {
            "setup_job": 1 / copies,
            "rip_strip": max(2, side * side / 26),
            "crosscut": runs,
            "row_glue": side,
            "joint": max(runs - side, 0),
            "row_join": side - 1,
            "strip": int(rng.integers(0, 7)),
            "sand_dm2": dm2,
            "oil_dm2": dm2,
            "stop_change": int(rng.integers(1, 9)) / copies,
        }
        done = {name: 0 if name in self.sort.never else count * copies for name, count in each.items()}
        return {name: Fraction(str(round(count, 2))) for name, count in done.items()}

    def expected(self, counts: dict[str, Fraction]) -> float:
        return float(np.array([float(counts[name]) for name in NAMES]) @ self.times)

    def whole(self, job: str) -> list[Logged]:
        """One line for the whole job."""
        counts = self.counts()
        return [Logged(counts, self._noted(sum(self._worked(counts).values())), job)]

    def by_operation(self, job: str) -> list[Logged]:
        """A line for each operation of the job."""
        counts = self.counts()
        worked = self._worked(counts)
        return [Logged({name: counts[name]}, self._noted(worked[name]), job) for name in worked]

    def lasted(self, counts: dict[str, Fraction]) -> float:
        return sum(self._worked(counts).values())

    def _worked(self, counts: dict[str, Fraction]) -> dict[str, float]:
        """Minutes the job's operations really take this time."""
        day = float(np.exp(self.rng.normal(0, self.sort.day)))
        times = self.times
        if self.helper is not None and self.rng.random() < self.sort.helped:
            # About half of the operations of such a job are the helper's.
            times = np.where(self.rng.random(len(NAMES)) < 0.5, self.helper, self.times)
        return {
            name: float(counts[name]) * time * day * float(np.exp(self.rng.normal(0, self.sort.each)))
            for name, time in zip(NAMES, times, strict=True)
            if counts[name]
        }

    def _noted(self, minutes: float) -> Fraction:
        slip = float(self.rng.choice((2.0, 0.5))) if self.rng.random() < self.sort.slips else 1.0
        return Fraction(str(round(minutes * slip, 4)))


def maker(seed: int, sort: Sort = USUAL) -> Maker:
    rng = np.random.default_rng(seed)
    times = sort.slow * _DEFAULTS * np.exp(sort.pace * rng.normal() + sort.stray * rng.normal(size=len(NAMES)))
    if not sort.helped:
        return Maker(rng, times, sort)
    return Maker(rng, times, sort, times * np.exp(0.3 * rng.normal() + 0.25 * rng.normal(size=len(NAMES))))


@dataclass(frozen=True)
class Outcome:
    """Shares of one: forecasts within 10 % of the expected hours, and jobs the careful figure was enough for."""

    within_tenth: float
    enough: float


def outcome(seeds: range, jobs: int, way: str, sort: Sort = USUAL) -> Outcome:
    """How well ``jobs`` logged by ``way`` ("whole" or "by_operation") tell the next job of each maker."""
    near = enough = 0
    for seed in seeds:
        one = maker(seed, sort)
        log = [line for job in range(jobs) for line in getattr(one, way)(f"job {job}")]
        counts = one.counts()
        told = forecast(learn(log), counts)
        near += abs(told.likely / one.expected(counts) - 1) <= 0.10
        enough += one.lasted(counts) <= told.careful
    return Outcome(near / len(seeds), enough / len(seeds))


def shifts(seeds: range, jobs: int, way: str, slip: int, *, added: bool) -> np.ndarray:
    """By how much one forgotten timer, ``slip`` times too long, moves the forecast of each maker's next job. Of
    ``jobs`` logged before, one line of one job is the wrong one, or that line is ``added`` to good ones."""
    moved = []
    for seed in seeds:
        one = maker(seed, Sort(slips=0))
        log = [line for job in range(jobs) for line in getattr(one, way)(f"job {job}")]
        counts, at = one.counts(), int(one.rng.integers(len(log)))
        wrong = Logged(log[at].counts, log[at].minutes * slip, log[at].job)
        if added:
            # The same operation of one more job.
            with_slip = [*log, Logged(wrong.counts, wrong.minutes, "one more")]
        else:
            with_slip = [*log[:at], wrong, *log[at + 1 :]]
        good, bad = forecast(learn(log), counts).likely, forecast(learn(with_slip), counts).likely
        moved.append(abs(bad / good - 1))
    return np.array(moved)
