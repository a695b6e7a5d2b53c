"""What a maker should know of the seams before the glue, with the reason and what would mend it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.build.seams import Seam, weakest_of
from planner.build.words import seam_place
from planner.shop import Shop


@dataclass(frozen=True, slots=True)
class Warning_:
    """Something to know before the glue: what, why it matters, and what would mend it."""

    words: str
    why: str
    mend: str


END_GRAIN = Warning_(
    "End grain up: the blank never goes through a thickness planer.",
    "Knives lift fibres that stand on end, and throw the piece (common practice, no source; the planer's manual "
    "comes first).",
    "Flatten it with a router on a sled or by sanding. Panels may be planed before they are sliced.",
)


def seam_warnings(
    seams: Sequence[Seam], columns: int, method: str, shop: Shop, along: str = "rows"
) -> tuple[Warning_, ...]:
    """One warning about the weakest seam when it falls short, saying how many others do.

    A seam falls short when long grain carries less than ``shop.least_carried`` of the board's height across it,
    and always when nothing does, however little the maker asks for. How much is enough: common practice, no
    source. ``columns`` are the tiles of a row, to say where the seam lies.
    """
    short = tuple(seam for seam in seams if not seam.carried or seam.share < shop.least_carried)
    weakest = weakest_of(short)
    if weakest is None:
        return ()
    others = len(short) - 1
    also = {0: "", 1: " One other seam falls short as well."}.get(others, f" {others} other seams fall short as well.")
    runs = "runs instead of single tiles, " if method == "tiles" else ""
    upright = along == "columns"
    borders = "Wider left and right borders" if upright else "Deeper top and bottom borders"
    return (
        Warning_(
            f"Weakest seam, {seam_place(weakest.column, columns, along)}: {shop.says(weakest.carried)} of "
            f"{shop.says(weakest.of)} is carried by long grain, with {shop.says(weakest.longest_gap)} at a stretch "
            f"without any.{also}",
            "End-grain joints alone are hardly ever strong enough for use; long grain across the seam holds it.",
            f"{borders}, {runs}or a row of plain wood right across help; "
            f"put no handle at the {'top or bottom' if upright else 'sides'}.",
        ),
    )
