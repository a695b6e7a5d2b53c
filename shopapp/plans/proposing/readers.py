"""Proposals as their page shows them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from planner.measures import Length, format_length
from shopapp.designs.models import PatternVersion
from shopapp.plans.asked import reckoning_of
from shopapp.plans.readers import RecordView
from shopapp.workshop.models import Workshop

from . import planning

# Figures of a record go by the rows: which of them is how wide the board hangs, which how high.
_HANGING = {"rows": ("finished_length", "finished_height"), "columns": ("finished_height", "finished_length")}
# No drawing is shown wider on a screen, however near one stands.
_WIDEST = Length.of_mm(160)


@dataclass(frozen=True)
class Card:
    """One proposal: its board as a record shows it, and the reckoning's address with its sizes filled in, each the same
    length when it is read back. ``seen`` is how wide its ``drawing`` is, to look as large as the board does from where
    it is looked at."""

    proposal: planning.Proposal
    view: RecordView
    drawing: str
    address: str
    wide: Mapping
    high: Mapping
    told_apart: str
    seen: str
    too_near: bool


@dataclass(frozen=True)
class Proposed:
    cards: list[Card]
    distance: str
    due: date | None
    copies: int
    most_copies: int
    angle_source: str


def proposed(version: PatternVersion, wishes: Mapping, workshop: Workshop, today: date) -> Proposed:
    """Raises PlannerError where no board can be made for these wishes."""
    found = planning.propose(version, wishes, workshop, today)
    due, distance = wishes["due"], wishes["distance"]
    copies = planning.copies_before(found[0].record, due, workshop, today) if due else 0
    return Proposed(
        [_card(one, version, workshop, distance) for one in found],
        "" if distance is None else planning.far(distance, workshop.unit),
        due,
        copies,
        planning.MOST_COPIES,
        planning.LEAST_ANGLE_SOURCE,
    )


def _card(proposal: planning.Proposal, version: PatternVersion, workshop: Workshop, distance: Length | None) -> Card:
    board = proposal.board
    seen = None if distance is None else proposal.seen_from(distance)
    wide = "" if seen is None else f"{float(min(seen, _WIDEST).mm):.1f}"
    view = RecordView(proposal.record, version.design.name, workshop.unit)
    return Card(
        proposal,
        view,
        view.board().replace("<svg ", f'<svg width="{wide}mm" ', 1) if wide else view.board(),
        reckoning_of(version, board, workshop),
        *(view.figures[name] for name in _HANGING[board["along"]]),
        planning.far(proposal.told_apart, workshop.unit, 0),
        "" if seen is None else format_length(Length.of_mm(wide), workshop.unit),
        seen is not None and seen > _WIDEST,
    )
