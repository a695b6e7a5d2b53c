"""The woods chosen for a design's colours, kept as its next drawing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from django.db import transaction
from django.db.models import Max

from shopapp.common.actions import EditConflict
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
    record: Mapping[str, object] | None = None,
    seen_drawing: int = 0,
    spend: Callable[[], None] = lambda: None,
) -> PatternVersion:
    """Keep the woods chosen for a design's colours as its next drawing, ``choices`` the wood of each colour of the
    grid ``grid_png`` and ``record`` all that was said of it.

    Raises PlannerError in words, and EditConflict when the grid is another now, or a drawing newer than
    ``seen_drawing`` was kept (0: it was not looked which is the newest).
    """
    grid = planning.StoredGrid(grid_png)
    pattern = grid.pattern(choices, margin)
    with transaction.atomic():
        spend()
        now = Design.objects.select_for_update().get(pk=design.pk)
        newest = now.versions.aggregate(Max("number"))["number__max"] or 0
        if now.grid_id != design.grid_id or seen_drawing not in (0, newest):
            raise EditConflict(now)
        return add_drawing(
            who=who,
            design=design,
            pattern=pattern,
            made="woods",
            choices=record or {"woods": dict(zip(grid.names, choices, strict=False)), "margin": margin},
        )
