"""Time as it was written down, brought into what can be learned from: finished work only.

An operation of a job is finished when an entry says so, or when what was counted comes to what was planned. How much
of it was done is what was counted, where every entry counted, else what was planned. "The whole board" takes in every
operation of the job that was not finished by itself, with the minutes that were written to those.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.hours.learning import Logged

WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Booked:
    """``minutes`` written to ``operation`` (one of OPERATIONS, or WHOLE) of ``job``; nought where only something was
    said to be finished. ``count`` is how much of it was done, for the whole board a share; None where it was not said.
    ``planned`` are the counts the job's plan had when this was written, empty without one."""

    job: str
    operation: str
    minutes: Fraction | int
    count: Fraction | None = None
    finishes: bool = False
    planned: Mapping[str, Fraction] | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """How far an operation of a job has come: ``minutes`` in all, ``count`` done where it is known, whether it is
    ``finished``, and how much was ``planned`` (None where no plan says)."""

    minutes: Fraction
    count: Fraction | None
    finished: bool
    planned: Fraction | None


def standings(entries: Sequence[Booked]) -> dict[str, Standing]:
    """Every operation that was written to in one job's ``entries``, oldest first; WHOLE among them."""
    planned = _planned(entries)
    found = {}
    for operation in dict.fromkeys(entry.operation for entry in entries):
        own = [entry for entry in entries if entry.operation == operation]
        worked = [entry for entry in own if entry.minutes]
        asked = planned.get(operation) if operation != WHOLE else Fraction(1)
        counted = None
        if worked and all(entry.count is not None for entry in worked):
            counted = sum((entry.count for entry in worked if entry.count is not None), Fraction(0))
        finished = any(entry.finishes for entry in own) or bool(asked and counted is not None and counted >= asked)
        count = counted if counted is not None else asked if finished else None
        minutes = sum((Fraction(entry.minutes) for entry in own), Fraction(0))
        found[operation] = Standing(minutes, count, finished, asked)
    return found


def finished_work(log: Sequence[Booked]) -> list[Logged]:
    """What ``log``, oldest first, has to be learned from: a line for each finished operation of a job, and one for a
    finished whole board; jobs in the order in which they were last written to."""
    jobs: dict[str, list[Booked]] = {}
    for entry in log:
        jobs.setdefault(entry.job, []).append(entry)
    last = {entry.job: at for at, entry in enumerate(log)}
    return [line for job in sorted(jobs, key=lambda one: last[one]) for line in _lines(job, jobs[job])]


def _lines(job: str, entries: Sequence[Booked]) -> list[Logged]:
    found = standings(entries)
    whole = found.pop(WHOLE, None)
    alone = {name: one for name, one in found.items() if one.finished and one.minutes}
    lines = [Logged({name: one.count}, one.minutes, job) for name, one in alone.items() if one.count]
    if whole is not None and whole.finished:
        rest = {name: count for name, count in _planned(entries).items() if count and name not in alone}
        minutes = whole.minutes + sum((one.minutes for name, one in found.items() if name in rest), Fraction(0))
        if rest and minutes:
            lines.append(Logged(rest, minutes, job))
    return lines


def _planned(entries: Sequence[Booked]) -> Mapping[str, Fraction]:
    """The counts of the newest plan among ``entries``."""
    return next((entry.planned for entry in reversed(entries) if entry.planned), {})
