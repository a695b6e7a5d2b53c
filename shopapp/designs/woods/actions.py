"""The woods chosen for a design's colours, kept as its next drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design, PatternVersion
from shopapp.people.models import Member

from . import planning


def keep_pattern(
    *,
    who: Member | None,
    design: Design,
    choices: Sequence[str],
    margin: int,
    grid_png: bytes,
    spend: Callable[[], None] = lambda: None,
) -> PatternVersion:
    """Keep the woods chosen for a design's colours as its next drawing. Raises PlannerError in words."""
    pattern = planning.StoredGrid(grid_png).pattern(choices, margin)
    return add_drawing(
        who=who,
        design=design,
        pattern=pattern,
        made="woods",
        choices={"woods": list(choices), "margin": margin},
        spend=spend,
    )
