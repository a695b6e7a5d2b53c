"""What the page that chooses woods shows."""

from __future__ import annotations

from dataclasses import dataclass

from planner.errors import PlannerError
from shopapp.common.images import image_bytes
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import counts_of, pattern_drawing
from shopapp.lumber.planning import looks_on_hand, offers

from . import planning
from .forms import WoodsForm


@dataclass(frozen=True)
class WoodChoices:
    """What the choice of woods starts from: the grid's colours, the woods on hand, and a first suggestion."""

    grid: planning.StoredGrid
    grid_png: bytes
    woods: list[tuple[str, str]]
    suggestion: list[str]
    margin: int
    newest: PatternVersion | None


def wood_choices(design: Design) -> WoodChoices:
    png = image_bytes(design.grid)
    grid = planning.StoredGrid(png)
    on_hand = offers()
    woods = [(offer.wood, offer.name) for offer in on_hand.values()]
    last = design.versions.order_by("-number").first()
    if last is not None and last.choices:
        return WoodChoices(grid, png, woods, last.choices["woods"], last.choices["margin"], last)
    colours = {offer.wood: offer.rgb for offer in on_hand.values()}
    suggestion = planning.suggest_woods(grid.colours, colours)
    return WoodChoices(grid, png, woods, suggestion, 1 if grid.lacks_side_background else 0, last)


def woods_page(design: Design, choices: WoodChoices, form: WoodsForm) -> dict[str, object]:
    """Everything the page that chooses woods shows."""
    return {
        "design": design,
        "choices": choices,
        "form": form,
        "preview": preview_of(design, choices, form),
        "newest": choices.newest,
        "more_colours": len(choices.grid.all_colours) - len(choices.grid.colours),
    }


@dataclass(frozen=True)
class Preview:
    """A pattern drawn, with its counts for whoever does not see it, or in words why there is none."""

    drawing: str = ""
    counts: tuple[tuple[str, int], ...] = ()
    size: str = ""
    trouble: str = ""


def preview_of(design: Design, choices: WoodChoices, form: WoodsForm) -> Preview:
    """The pattern as the form's woods would make it."""
    if not choices.woods:
        return Preview(trouble="There are no woods on hand to choose from.")
    if form.is_bound and form.errors:
        return Preview(trouble=" ".join(f"{line['label']}: {line['message']}".lstrip(": ") for line in form.summary()))
    woods, margin = (
        (form.chosen(), form.cleaned_data["margin"]) if form.is_bound else (choices.suggestion, choices.margin)
    )
    try:
        pattern = choices.grid.pattern(woods, margin)
    except PlannerError as error:
        return Preview(trouble=str(error))
    looks = looks_on_hand()
    counts = sorted(((looks[wood].name, n) for wood, n in counts_of(pattern).items()), key=lambda one: -one[1])
    return Preview(
        pattern_drawing(pattern, looks, f"{design.name} in the woods chosen"),
        (*counts, *([("background", pattern.background)] if pattern.background else [])),
        f"{pattern.height} rows of {pattern.width}",
    )
