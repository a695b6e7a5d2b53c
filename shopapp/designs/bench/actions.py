"""A drawing kept from the bench, and a blank grid to draw on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import check_woods, pattern_from_text
from shopapp.lumber.planning import looks_on_hand
from shopapp.people.models import Member


@dataclass(frozen=True)
class KeptDrawing:
    """A drawing that was kept; ``branched`` when a newer one than its parent stood already, ``again`` when the same
    form came a second time."""

    version: PatternVersion
    branched: bool
    again: bool = False

    @property
    def url(self) -> str:
        return self.version.get_absolute_url()

    @property
    def words(self) -> str:
        number, parent = self.version.number, self.version.parent
        if self.again:
            return f"This was already kept, as drawing {number}."
        if not self.branched:
            return f"Drawing {number} is kept."
        start = f"drawing {parent.number}" if parent else "an empty grid"
        return (
            f"Drawing {number} is kept beside drawing {number - 1}: yours began from {start}, and drawing "
            f"{number - 1} was kept meanwhile. Neither is lost."
        )


def keep_drawing(
    *,
    who: Member | None,
    design: Design,
    text: str,
    name: str = "",
    parent: int | None = None,
    spend: Callable[[], None] = lambda: None,
) -> KeptDrawing:
    """Keep what lies on the bench as the design's next drawing, drawn from number ``parent`` if from any.

    Raises PlannerError, naming the field, for what is no pattern, all background, or in woods never on hand.
    """
    pattern = pattern_from_text(text)
    check_woods(pattern, looks_on_hand())
    begun_from = None
    if parent is not None:
        begun_from = design.versions.filter(number=parent).first()
        if begun_from is None:
            raise PlannerError(
                "The drawing this was begun from is not among this design’s drawings.",
                mend="Open the bench from one of them, and lay these rows there.",
                field="parent",
            )
    version = add_drawing(
        who=who, design=design, pattern=pattern, made="bench", name=name, parent=begun_from, spend=spend
    )
    return KeptDrawing(version, branched=version.number - 1 != (parent or 0))


def begin_blank(*, who: Member, name: str, rows: int, columns: int, spend: Callable[[], None] = lambda: None) -> Design:
    """A design that starts from a grid of background. Its first drawing is the first that is kept."""
    with transaction.atomic():
        spend()
        # Whoever draws it from nothing need not be asked whose picture it is.
        design = Design.objects.create(
            name=name, source="blank", rights="own", reading={"rows": rows, "columns": columns}
        )
        write_audit(who, f"{name} was begun on a blank grid, {rows} rows of {columns}.", design)
    return design
