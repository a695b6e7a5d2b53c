"""The book's door to the planner."""

from __future__ import annotations

from collections.abc import Mapping

from planner.cutting.tolerance import datum_seam
from planner.gluing import glue_board_of
from planner.measures import Length


def datum_of(record: Mapping) -> tuple[int, Length]:
    """The line every row is laid from, as so many tiles from where rows begin, and how far it lies from the blank's
    end there."""
    return datum_seam(record["columns"]), glue_board_of(record).rows[0].datum
