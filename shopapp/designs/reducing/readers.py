"""What the page shows that reduces a picture to a chosen grid."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from urllib.parse import urlencode

from django.core.cache import cache
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.common.images import image_bytes
from shopapp.designs.grid.readers import background_in_words
from shopapp.designs.models import Design

from . import planning
from .forms import ReduceForm, first_cut
from .planning import Cut

CACHED_SECONDS = 600
# From here on the eye sees that squares of the picture came out wider or higher than they were.
MOST_STRETCH = 0.04


def start_of(design: Design) -> Cut:
    """The cut the page opens with: as it was last reduced, or the whole picture."""
    last = design.grids.filter(made="reduced").first()
    if last is not None:
        return Cut(**last.place["reduction"])
    return first_cut(design.original.width, design.original.height)


def cells_of(design: Design, cut: Cut) -> bytes:
    """The grid of a cut, from the cache when it was asked for before."""
    key = f"reduced:{design.original.sha256}:{hashlib.sha256(repr(cut).encode()).hexdigest()}"
    png = cache.get(key)
    if png is None:
        shown = design.shown
        share = planning.share_that_serves(cut, design.original.width, shown.width if shown else None)
        png = planning.reduced(image_bytes(design.original if share == 1 else shown), cut, share)
        cache.set(key, png, CACHED_SECONDS)
    return png


@dataclass(frozen=True)
class Reduced:
    """A reduced grid as the page shows it, or in words why there is none."""

    cells: str = ""
    rows: int = 0
    columns: int = 0
    colours: int = 0
    background: str = ""
    advice: str = ""
    trouble: str = ""


def reduced_of(design: Design, form: ReduceForm) -> Reduced:
    """The grid of a bound form."""
    if not form.is_valid():
        return Reduced(trouble=" ".join(f"{line['label']}: {line['message']}".lstrip(": ") for line in form.summary()))
    cut = form.cut()
    try:
        grid = planning.grid_of(cells_of(design, cut))
    except PlannerError as error:
        return Reduced(trouble=str(error))
    return Reduced(
        cells=f"{reverse('designs:reduce_cells', args=[design.pk])}?{urlencode(asdict(cut))}",
        rows=cut.rows,
        columns=cut.columns,
        colours=len(grid.colours()),
        background=background_in_words(grid),
        advice=_advice(cut),
    )


def _advice(cut: Cut) -> str:
    """What would keep the shape of the picture, where the squares come out too wide or too high."""
    if abs(cut.stretch - 1) <= MOST_STRETCH:
        return ""
    rows = max(1, min(planning.LARGEST_SIDE, round(cut.columns * cut.height / cut.width)))
    if rows == cut.rows:
        return ""
    narrower = "narrower" if cut.stretch > 1 else "wider"
    return f"The drawing comes out {narrower} than the picture; {rows} rows of {cut.columns} would keep its shape."


def changes_in_words(design: Design, cut: Cut) -> list[str]:
    """How the grid came about, for the row that is kept."""
    words = [f"reduced to {cut.rows} rows of {cut.columns} in at most {cut.colours} colours"]
    if (cut.left, cut.top, cut.width, cut.height) != (0, 0, design.original.width, design.original.height):
        words.append(
            f"cut to {cut.width} by {cut.height} px, {cut.left} px from the left and {cut.top} px from the top"
        )
    return words


def reduce_page(design: Design, form: ReduceForm, reduced: Reduced) -> Mapping[str, object]:
    return {
        "design": design,
        "form": form,
        "reduced": reduced,
        "shown": design.shown or design.original,
        "measures": [form["columns"], form["rows"], form["colours"]],
        "edges": [form["left"], form["top"], form["width"], form["height"]],
    }
