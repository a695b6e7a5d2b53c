"""Makers who never were, with a pace of their own and a log of jobs, out of a seed.

True times stray from the defaults by a pace e^(0.35 z) and by e^(0.25 z) an operation; every job has a day of its own
(10 %), every operation of it scatters besides (18 %), and of every hundred entries four have a timer forgotten or begun
late (twice, or half).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from planner.hours import DEFAULT_TIMES, Logged

# The operations of a board of tiles or runs; these makers make no panels.
NAMES = [
    "setup_job", "rip_strip", "crosscut", "row_glue", "joint", "row_join", "strip", "sand_dm2", "oil_dm2",
    "stop_change",
]  # fmt: skip
_DEFAULTS = np.array([float(DEFAULT_TIMES[name]) for name in NAMES])


@dataclass(frozen=True)
class Maker:
    rng: np.random.Generator
    times: np.ndarray

    def counts(self) -> dict[str, Fraction]:
        """A job of a size between 8 and 32 squares, one to three boards."""
        rng = self.rng
        side, copies = int(rng.integers(8, 33)), int(rng.integers(1, 4))
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
        return {name: Fraction(str(round(count * copies, 2))) for name, count in each.items()}

    def expected(self, counts: dict[str, Fraction]) -> float:
        return float(np.array([float(counts[name]) for name in NAMES]) @ self.times)

    def whole(self, job: str, slips: float = 0.04) -> list[Logged]:
        """One line for the whole job."""
        counts = self.counts()
        return [Logged(counts, self._noted(sum(self._worked(counts).values()), slips), job)]

    def by_operation(self, job: str, slips: float = 0.04) -> list[Logged]:
        """A line for each operation of the job."""
        counts = self.counts()
        worked = self._worked(counts)
        return [Logged({name: counts[name]}, self._noted(worked[name], slips), job) for name in worked]

    def lasted(self, counts: dict[str, Fraction]) -> float:
        return sum(self._worked(counts).values())

    def _worked(self, counts: dict[str, Fraction]) -> dict[str, float]:
        """Minutes the job's operations really take this time."""
        day = float(np.exp(self.rng.normal(0, 0.10)))
        return {
            name: float(counts[name]) * time * day * float(np.exp(self.rng.normal(0, 0.18)))
            for name, time in zip(NAMES, self.times, strict=True)
            if counts[name]
        }

    def _noted(self, minutes: float, slips: float) -> Fraction:
        slip = float(self.rng.choice((2.0, 0.5))) if self.rng.random() < slips else 1.0
        return Fraction(str(round(minutes * slip, 4)))


def maker(seed: int) -> Maker:
    rng = np.random.default_rng(seed)
    pace = np.exp(0.35 * rng.normal() + 0.25 * rng.normal(size=len(NAMES)))
    return Maker(rng, _DEFAULTS * pace)


@dataclass(frozen=True)
class Outcome:
    """Shares of one: forecasts within 10 % of the expected hours, and jobs the careful figure was enough for."""

    within_tenth: float
    enough: float


def outcome(seeds: range, jobs: int, way: str) -> Outcome:
    """How well ``jobs`` logged by ``way`` ("whole" or "by_operation") tell the next job of each maker."""
    from planner.hours import forecast, learn

    near = enough = 0
    for seed in seeds:
        one = maker(seed)
        log = [line for job in range(jobs) for line in getattr(one, way)(f"job {job}")]
        counts = one.counts()
        told = forecast(learn(log), counts)
        near += abs(told.likely / one.expected(counts) - 1) <= 0.10
        enough += one.lasted(counts) <= told.careful
    return Outcome(near / len(seeds), enough / len(seeds))
