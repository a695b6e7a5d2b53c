"""The time log's one door to the planner: entries in, the maker's own times out."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.core.cache import cache

from planner.figures import Figure, Term
from planner.hours import (
    DEFAULT_TIMES,
    OPERATIONS,
    WHOLE,
    Booked,
    Logged,
    Operation,
    Standing,
    Times,
    finished_work,
    learn,
    standings,
)
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.models import Workshop

__all__ = ["OPERATIONS", "WHOLE", "Standing", "counts_of_record", "learned", "minutes_used"]

WHOLE_WORDS = "The whole board, what is not logged by itself"
_BY_KEY = {operation.key: operation for operation in OPERATIONS}
_BY_WORDS = {operation.words: operation.key for operation in OPERATIONS}
_KEPT_SECONDS = 24 * 3600
_EACH = "min each"
# Of a long log the newest work is told.
_MOST_SHOWN = 8


def operation_words(key: str) -> str:
    if key == WHOLE:
        return WHOLE_WORDS
    return _BY_KEY[key].words if key in _BY_KEY else key


def operation_each(key: str) -> str:
    return _BY_KEY[key].each if key in _BY_KEY else ""


def is_operation(key: str) -> bool:
    return key == WHOLE or key in _BY_KEY


def counts_of_record(record: Mapping | None) -> dict[str, Fraction]:
    """How often each operation is done for all boards of a kept plan; old records say it in their hours' terms."""
    if record is None:
        return {}
    if "operations" in record:
        counts = {key: Fraction(text) for key, text in record["operations"].items() if key in _BY_KEY}
    else:
        terms = record["figures"]["hours"]["terms"]
        counts = {
            _BY_WORDS[term["name"]]: Fraction(term["figure"]["terms"][0]["figure"]["value"][1])
            for term in terms
            if term["name"] in _BY_WORDS
        }
    return {key: counts[key] for key in _BY_KEY if counts.get(key)}


def standing_entries() -> list[TimeEntry]:
    """What counts of the log, oldest first: neither mended nor taken back."""
    return list(TimeEntry.objects.filter(mended_by=None).exclude(kind=TimeEntry.Kind.TAKEN_BACK).order_by("pk"))


def booked(entries: Iterable[TimeEntry]) -> list[Booked]:
    return [
        Booked(
            entry.key,
            entry.operation,
            entry.minutes,
            Fraction(entry.count) if entry.count else None,
            entry.finishes,
            {key: Fraction(text) for key, text in entry.planned.items() if key in _BY_KEY},
        )
        for entry in entries
        if is_operation(entry.operation)
    ]


def how_far(entries: Sequence[TimeEntry]) -> dict[str, Standing]:
    """How far each operation of one job or plan has come, by what stands in its log, oldest first."""
    return standings(booked(entries))


def learned(workshop: Workshop) -> Times:
    """The maker's own times: what the log of finished work teaches, and what was set by hand in its place. One query
    while the log is as it was, two after an entry."""
    return _from_log().with_set(set_by_hand(workshop))


def set_by_hand(workshop: Workshop) -> dict[str, Fraction]:
    return {key: Fraction(text) for key, text in workshop.times.items() if key in DEFAULT_TIMES}


def minutes_used(workshop: Workshop) -> Mapping[str, Fraction]:
    """Minutes for each operation, as plans are reckoned with them."""
    return learned(workshop).exact


def _from_log() -> Times:
    """Entries are never changed, so the newest one tells whether the log is as it was."""
    newest = TimeEntry.objects.order_by("-pk").values_list("pk", "at").first()
    if newest is None:
        return learn(())
    said = f"{newest[0]} {newest[1].isoformat()} {sorted(DEFAULT_TIMES.items())}"
    key = "times:" + hashlib.sha256(said.encode()).hexdigest()
    times = cache.get(key)
    if times is None:
        times = learn(finished_work(booked(standing_entries())))
        cache.set(key, times, _KEPT_SECONDS)
    return times


def as_inputs(times: Times) -> dict[str, object]:
    """What the careful hours rest on beside the minutes, as JSON: how sure the times are. Without a log and without a
    time set by hand it is what the planner believes of everybody."""
    names = list(times.defaults)
    return {
        "jobs": times.jobs,
        "by_hand": sorted(times.by_hand),
        "scatter": f"{times.scatter:.6f}",
        "spread": {
            f"{names[i]} {names[j]}": f"{times.spread[i, j]:.6f}"
            for i in range(len(names))
            for j in range(i + 1)
            if times.jobs and times.spread[i, j]
        },
    }


@dataclass(frozen=True)
class OwnTime:
    """One operation on the page of the learned times, in minutes: the default, what the log says of it, between which
    minutes that lies four times in five, of how many jobs, and what was set by hand (None where nothing was). ``used``
    is a figure with what was logged as its terms."""

    key: str
    words: str
    each: str
    default: Fraction
    yours: Fraction
    low: Fraction
    high: Fraction
    jobs: int
    by_hand: Fraction | None
    used: Mapping

    @property
    def is_learned(self) -> bool:
        return self.jobs > 0


def own_times(workshop: Workshop) -> list[OwnTime]:
    """Every operation, with where its time is from. Two queries, three after an entry."""
    log, entries = _from_log(), standing_entries()
    work = finished_work(booked(entries))
    labels = {entry.key: entry.label for entry in entries}
    used = log.with_set(set_by_hand(workshop))
    lines = []
    for operation in OPERATIONS:
        low, high = log.sure_within(operation.key)
        lines.append(
            OwnTime(
                operation.key,
                operation.words,
                operation.each,
                operation.default,
                log.exact[operation.key],
                Fraction(f"{low:.2g}"),
                Fraction(f"{high:.2g}"),
                log.jobs_of.get(operation.key, 0),
                used.by_hand.get(operation.key),
                _used_figure(operation, used, work, labels),
            )
        )
    return lines


def _used_figure(operation: Operation, used: Times, work: Sequence[Logged], labels: Mapping[str, str]) -> dict:
    """The time an operation is reckoned with, and the newest finished work it rests on."""
    if operation.key in used.by_hand:
        rule = "as it was set by hand, whatever the log says"
    elif used.jobs:
        rule = "the likeliest by the default, your pace in everything, and what was logged; what fits badly counts less"
    else:
        rule = "the default: no finished work is logged yet"
    terms = [Term("Default", Figure(operation.default, _EACH, "an assumption, from memory"))]
    for line in [line for line in work if line.counts.get(operation.key)][: -_MOST_SHOWN - 1 : -1]:
        count = Fraction(line.counts[operation.key])
        minutes, label = Fraction(line.minutes), labels.get(line.job, line.job)
        if len(line.counts) == 1:
            said = f"{minutes} min ÷ {_short(count)}"
            terms.append(Term(label, Figure(minutes / count, _EACH, said)))
        else:
            said = f"together with {len(line.counts) - 1} other operations"
            terms.append(Term(f"{label}, the whole board", Figure(minutes, "min", said)))
    return Figure(used.exact[operation.key], _EACH, rule, used.said_of(operation.key), tuple(terms)).as_record()


def _short(count: Fraction) -> str:
    return f"{float(count):.6g}"
