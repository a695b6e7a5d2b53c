"""What the pages about designs as a whole show."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import OuterRef, Subquery

from shopapp.lumber.planning import looks_on_hand

from . import planning
from .models import Design, PatternVersion
from .pictures.readers import reading_state


@dataclass(frozen=True)
class DesignCard:
    """A design in the list, with a drawing of its newest pattern when it has one."""

    design: Design
    drawing: str
    size: str


def designs_in_view(*, aside: bool = False) -> list[DesignCard]:
    """Two queries however many designs: the designs with their newest pattern, and the woods' looks."""
    newest = PatternVersion.objects.filter(design=OuterRef("pk")).order_by("-number")
    designs = Design.objects.filter(set_aside=aside).annotate(pattern=Subquery(newest.values("pattern")[:1]))
    looks = looks_on_hand()
    return [_card(design, looks) for design in designs]


def _card(design: Design, looks: dict) -> DesignCard:
    if not design.pattern:
        return DesignCard(design, "", "")
    pattern = planning.pattern_from_text(design.pattern)
    drawing = planning.pattern_thumbnail(pattern, looks, design.name)
    return DesignCard(design, drawing, f"{pattern.height} rows of {pattern.width}")


def design_page(design: Design) -> dict[str, object]:
    """A design's own page: how far it is, its picture and grid, and the drawings kept of it. Two queries."""
    looks = looks_on_hand()
    return {
        "design": design,
        "state": reading_state(design),
        "drawings": [
            KeptDrawing(version, planning.pattern_thumbnail(planning.pattern_from_text(version.pattern), looks, ""))
            for version in design.versions.select_related("parent", "kept_by")
        ],
    }


@dataclass(frozen=True)
class KeptDrawing:
    version: PatternVersion
    thumbnail: str
