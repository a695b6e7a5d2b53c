"""Hours as figures: the likely ones, which the price rests on, and the careful ones, to promise by."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from planner.figures import Figure, Term
from planner.hours.forecast import forecast
from planner.hours.learning import Times
from planner.hours.standard import likely_minutes


def hour_figures(times: Times, counts: Mapping[str, Fraction], quantity: int = 1) -> dict[str, Figure]:
    """ "hours" and "hours_careful" for ``counts``, which are for all ``quantity`` boards; "hours_each" where there is
    more than one. Errors as in ``likely_minutes``."""
    minutes = likely_minutes(times.exact, counts, {name: times.said_of(name) for name in times.defaults})
    assert isinstance(minutes.value, Fraction)
    source = f"standard times; {rests_on(times)}" if times.jobs else "the workshop's standard times"
    hours = Figure(minutes.value / 60, "h", "sum over the operations of count × time, ÷ 60", source, minutes.terms)
    figures = {"hours": hours, "hours_careful": _careful(times, counts, hours)}
    if quantity > 1:
        figures["hours_each"] = Figure(
            minutes.value / 60 / quantity, "h", "hours for all ÷ boards", terms=(Term("Hours for all", hours),)
        )
    return figures


def rests_on(times: Times) -> str:
    """ "from 3 jobs of yours"; that no job is logged yet where none is."""
    if not times.jobs:
        return "no job of yours is logged yet"
    return f"from {times.jobs} job{'s' * (times.jobs != 1)} of yours"


def _careful(times: Times, counts: Mapping[str, Fraction], hours: Figure) -> Figure:
    rule = "likely hours × what is enough for four jobs in five"
    assert isinstance(hours.value, Fraction)
    if not hours.value:
        return Figure(Fraction(0), "h", rule, rests_on(times), (Term("Likely", hours),))
    told = forecast(times, counts)
    # To the thousandth, so that the sum that is shown is the sum that was made.
    factor = Fraction(round(told.careful / told.likely * 1000), 1000)
    spread = Fraction(round(told.spread * 1000), 1000)
    return Figure(
        hours.value * factor,
        "h",
        rule,
        rests_on(times),
        (
            Term("Likely", Figure(hours.value, "h", hours.rule, hours.source)),
            Term(
                "Enough for four in five",
                Figure(
                    factor,
                    "times",
                    "e to the power of 0.8416 × spread",
                    "the eightieth hundredth of the normal distribution",
                    (Term("spread", Figure(spread, "share", "how far jobs like this stray from the likely")),),
                ),
            ),
            Term("Jobs it rests on", Figure(times.jobs, "jobs", "finished work in the time log")),
        ),
    )
