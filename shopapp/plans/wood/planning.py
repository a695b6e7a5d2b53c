"""The door to the planner for a record's wood: its movement drawn, meter readings compared, cautions by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planner.build import along_of
from planner.cautions import STEPS, cautions_for_step, is_said_of_all, step_of_wood_caution
from planner.drawing import columns_svg
from planner.figures import Figure
from planner.measures import Length
from planner.movement import Apart, Reading, apart_at_glue_up
from planner.pricing import USUAL_GRITS
from planner.pricing.rates import ASSUMED
from shopapp.lumber.rack.moisture import MeterReading
from shopapp.workshop.models import Workshop

__all__ = [
    "STEPS",
    "USUAL_GRITS",
    "apart",
    "cautions_for_step",
    "columns_drawing",
    "is_assumed",
    "is_said_of_all",
    "is_upright",
    "step_of_wood_caution",
]


def columns_drawing(record: Mapping, title: str) -> str:
    """How much further each column of a record's board moves than the least; empty where all move alike, and for end
    grain, which moves both ways."""
    moved = [float(Fraction(by)) for _, by in record["moving"]["columns"]]
    return columns_svg(moved, title, upright=is_upright(record)) if moved else ""


def is_upright(record: Mapping) -> bool:
    return along_of(record) == "columns"


def apart(readings: Sequence[MeterReading], record: Mapping, workshop: Workshop) -> Apart | None:
    """How far the meter readings of a record's woods lie apart, against what the maker allows."""
    found = [Reading(one.wood, Fraction(one.moisture), one.mark) for one in readings]
    return apart_at_glue_up(found, Length.of_mm(record["spec"]["thickness"]), Fraction(workshop.moisture_apart))


def is_assumed(figure: Mapping) -> bool:
    """Whether a recorded figure rests on a rate the maker has not written."""
    return any(_rests_on_assumption(term.figure) for term in Figure.from_record(dict(figure)).terms)


def _rests_on_assumption(figure: Figure) -> bool:
    return figure.source == ASSUMED or any(_rests_on_assumption(term.figure) for term in figure.terms)
