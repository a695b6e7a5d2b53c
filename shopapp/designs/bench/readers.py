"""What the bench starts from, what it is told meanwhile, and what was kept of it."""

from __future__ import annotations

from fractions import Fraction

from django.urls import reverse
from django.utils.timezone import localtime

from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import counts_of, pattern_from_text
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import hex_of, look_of, looks_on_hand
from shopapp.lumber.rack.strips import free_strip
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import first_sizes

from . import planning

# Cells named for one thing that is pointed out; more are counted in its words.
MOST_CELLS = 60


def bench_page(
    design: Design, version: PatternVersion | None, *, workshop: Workshop, owner: bool, form_key: str
) -> dict[str, object]:
    """Everything the bench needs to begin, as its data block: the drawing it starts from, or an empty grid, and the
    woods. Four queries. What a board costs is for the owner, so a helper's bench has no address to reckon at."""
    pattern = pattern_from_text(version.pattern) if version else empty_grid_of(design)
    rows = {row.wood: row for row in WoodOnHand.objects.all()}
    others = [wood for wood, row in rows.items() if row.on_hand and wood not in pattern.woods]
    woods = [*pattern.woods, *others]
    sizes = first_sizes(workshop.unit)
    free = free_strip(sizes["pitch"], sizes["thickness"], workshop)
    return {
        "design": design.pk,
        "name": design.name,
        "from": version.number if version else None,
        "title": version.title if version else "",
        "height": pattern.height,
        "width": pattern.width,
        "woods": woods,
        "rows": planning.rows_in_hex(pattern),
        "looks": {wood: _look(wood, rows.get(wood)) for wood in woods},
        "pitch_mm": str(sizes["pitch"].mm),
        "free": free.as_answer(),
        "unit": workshop.unit,
        "urls": {
            "hints": reverse("designs:bench_hints", args=[design.pk]),
            "reckoning": reverse("plans:bench_reckoning", args=[design.pk]) if owner else None,
            "keep": reverse("designs:bench_keep", args=[design.pk]),
            "newest": reverse("designs:bench_newest", args=[design.pk]),
            "design": design.get_absolute_url(),
        },
        "form_key": form_key,
        "largest": planning.LARGEST_SIDE,
        "newest": newest_number(design),
    }


def _look(wood: str, row: WoodOnHand | None) -> dict[str, object]:
    """A wood as the bench shows it."""
    if row is None:
        return {"name": wood, "rgb": "#808080", "mark": "", "strokes": [], "on_hand": False}
    look = look_of(row)
    return {
        "name": look.name,
        "rgb": hex_of(look.rgb),
        "mark": look.mark,
        "strokes": planning.strokes_of(look.mark),
        "on_hand": row.on_hand,
    }


def empty_grid_of(design: Design):
    """The grid a design that started blank was asked to have."""
    return planning.empty_grid(design.reading.get("rows", 16), design.reading.get("columns", 16))


def newest_number(design: Design) -> int | None:
    return design.versions.order_by("-number").values_list("number", flat=True).first()


def newest_kept(design: Design) -> dict[str, object]:
    """The newest drawing of a design: its number, who kept it and when. One query."""
    version = design.versions.select_related("kept_by").order_by("-number").first()
    if version is None:
        return {"newest": None, "kept_by": "", "kept_at": "", "words": "No drawing is kept yet."}
    who = version.kept_by.get_username() if version.kept_by else ""
    at = localtime(version.kept_at)
    by = f" by {who}" if who else ""
    return {
        "newest": version.number,
        "kept_by": who,
        "kept_at": at.isoformat(timespec="seconds"),
        "words": f"Drawing {version.number} was kept{by} on {at.day} {at:%b %Y} at {at:%H:%M}.",
    }


def hints(text: str, workshop: Workshop) -> dict[str, object]:
    """What the pattern sent says of itself: what is pointed out with its mends, tiles and runs counted. One query.
    Raises PlannerError where it is none."""
    pattern = pattern_from_text(text)
    names = {wood: look.name for wood, look in looks_on_hand().items()}
    found = planning.pointed_out(pattern, names, Fraction(workshop.least_carried))
    return {
        "hints": [
            {
                "kind": hint.kind,
                "words": hint.words,
                "cells": hint.cells[:MOST_CELLS],
                "mend": hint.mend
                and {"words": hint.mend.words, "cells": [(lay.row, lay.column, lay.wood) for lay in hint.mend.lay]},
            }
            for hint in found
        ],
        "counts": counts_of(pattern),
        "runs": planning.runs_of(pattern),
    }


def kept_already(design: Design, text: str) -> PatternVersion | None:
    """The newest drawing with exactly this pattern, for a form that comes a second time."""
    return design.versions.filter(pattern=pattern_from_text(text).to_text()).order_by("-number").first()
