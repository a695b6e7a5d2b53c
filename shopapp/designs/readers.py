"""What the pages about designs as a whole show."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import OuterRef, Subquery
from django.urls import reverse

from shopapp.lumber.planning import looks_on_hand

from . import planning
from .models import Design, KeptGrid, PatternVersion
from .pictures.readers import reading_state
from .pictures.rights import rights_in_words, still_asked


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


@dataclass(frozen=True)
class Step:
    """What can be done with a design now: words for a button and the address it leads to."""

    words: str
    url: str


def design_page(design: Design, *, may_reckon: bool) -> dict[str, object]:
    """A design's own page: how far it is, its picture and grid, the drawings kept of it, and what comes next.

    Four queries: the woods' looks, the newest kept grid, the drawings, what was answered of whose the picture is.
    """
    looks = looks_on_hand()
    state = reading_state(design)
    kept = design.grids.select_related("kept_by").first()
    drawings = [
        KeptDrawing(version, planning.pattern_thumbnail(planning.pattern_from_text(version.pattern), looks, ""))
        for version in design.versions.select_related("parent", "kept_by")
    ]
    newest = drawings[0].version if drawings else None
    following, others = steps_from(design, state.word, kept, newest, may_reckon=may_reckon)
    return {
        "design": design,
        "state": state,
        "kept": kept,
        "drawings": drawings,
        "following": following,
        "others": others,
        "rights": rights_in_words(design) if design.source == "picture" else "",
        "still_asked": " or ".join(still_asked(design)),
        "pitch": f"{design.reading.get('pitch', design.reading.get('scale', 1)):.4g}",
    }


def steps_from(
    design: Design, state: str, kept: KeptGrid | None, newest: PatternVersion | None, *, may_reckon: bool
) -> tuple[Step | None, list[Step]]:
    """The one next step of a design, and the others that can be taken. Prices are the owner's alone."""

    def step(words: str, name: str) -> Step:
        return Step(words, reverse(name, args=[design.pk]))

    anew = Step("Bring another picture", reverse("designs:bring"))
    look = step("Correct its grid" if kept else "Look over its grid", "designs:grid")
    reduce = step("Reduce it to a chosen grid", "designs:reduce")
    woods = step("Choose woods anew" if newest else "Choose woods", "designs:woods")
    bench = step("Draw at the bench", "designs:bench")
    reckon = step("Reckon the board", "plans:reckoning")
    if state == "failed":
        return anew, []
    if state == "no grid":
        return reduce, [anew]
    drawn = [reckon, bench] if may_reckon else [bench]
    if design.source != "picture":
        return (drawn[0], drawn[1:]) if newest else (bench, [])
    if state != "read":
        return None, []
    # A reading that is unsure, or a picture that was reduced before, may be better off with a grid of one's own.
    reducing = [reduce] if design.no_grid or not design.reading.get("sure", True) else []
    if newest and kept and kept.made != "read" and kept.kept_at > newest.kept_at:
        # The grid was corrected after the newest drawing, which is still of the old one.
        return woods, [*drawn, look, *reducing]
    if newest:
        return drawn[0], [*drawn[1:], woods, look, *reducing]
    return (woods, [look, *reducing]) if kept else (look, [*reducing, woods])


@dataclass(frozen=True)
class KeptDrawing:
    version: PatternVersion
    thumbnail: str
