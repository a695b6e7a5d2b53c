"""What the pages about single drawings and their differences show."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import counts_of, pattern_drawing, pattern_from_text
from shopapp.lumber.planning import looks_on_hand, plank_of

from . import planning


@dataclass(frozen=True)
class WoodCount:
    """A wood of a drawing beside its plank, with how many tiles it has."""

    name: str
    plank: str
    tiles: int


def drawing_page(version: PatternVersion) -> dict[str, object]:
    """A drawing by itself: drawn, counted, what it came from and what came from it. Three queries."""
    pattern = pattern_from_text(version.pattern)
    looks = looks_on_hand()
    counts = sorted(counts_of(pattern).items(), key=lambda one: -one[1])
    return {
        "design": version.design,
        "version": version,
        "drawn": pattern_drawing(pattern, looks, f"{version.design.name}, {version.title}: row 1 at the top"),
        "counts": [WoodCount(looks[wood].name, plank_of(looks[wood]), tiles) for wood, tiles in counts],
        "background": pattern.background,
        "children": list(version.children.order_by("number")),
        "others": list(version.design.versions.exclude(pk=version.pk).only("number", "name", "design_id")),
    }


def difference_page(first: PatternVersion, second: PatternVersion) -> dict[str, object]:
    """Two drawings of a design laid on each other: drawn side by side, told in words, counted. Two queries."""
    looks = looks_on_hand()
    found = planning.compared(pattern_from_text(first.pattern), pattern_from_text(second.pattern))
    return {
        "design": first.design,
        "first": first,
        "second": second,
        "words": planning.sentences(found, looks),
        "before": planning.difference_drawing(found, looks, after=False, title=_words(first, found)),
        "after": planning.difference_drawing(found, looks, after=True, title=_words(second, found)),
        "changes": [
            (looks[change.wood].name, plank_of(looks[change.wood]), change, _more(change.more))
            for change in found.woods
        ],
        "runs": (found.runs_before, found.runs_after, _more(found.runs_after - found.runs_before)),
        "alike": not found.cells,
        "versions": list(first.design.versions.only("number", "name", "design_id")),
    }


def _words(version: PatternVersion, found: planning.Difference) -> str:
    return f"{version.title[:1].upper()}{version.title[1:]}, {len(found.cells)} cells marked with a lozenge"


def _more(by: int) -> str:
    return f"{by} more" if by > 0 else f"{-by} fewer" if by else "as many"


def drawing_of(design: Design, number: int) -> PatternVersion | None:
    return design.versions.select_related("design", "parent", "kept_by").filter(number=number).first()
