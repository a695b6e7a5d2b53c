"""The book's door to the planner."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.cutting.tolerance import datum_seam
from planner.drawing.marking import PAPER
from planner.drawing.marking.letters import wide
from planner.drawing.working import laid_svg, machine_svg, parts_svgs, seams_svg
from planner.drawing.working.strip import strip_svg
from planner.gluing import glue_board_of
from planner.measures import Length
from shopapp.plans.drawings.planning import Saw, kinds_of
from shopapp.plans.planning import looks_of
from shopapp.plans.preview.planning import printed, tones_in


def datum_of(record: Mapping) -> tuple[int, Length]:
    """The line every row is laid from, as so many tiles from where rows begin, and how far it lies from the blank's
    end there."""
    return datum_seam(record["columns"]), glue_board_of(record).rows[0].datum


# Of type to be read at arm's length, the larger first; the smallest serves where nothing fits. In points.
TYPE_SIZES = (16, 14, 12)
POINTS_A_MM = 72 / 25.4
# By the style sheet, on the narrower paper: a column's width in millimetres, and where the tab stops in sizes of type,
# the near stop where all that stands before it is narrow.
COLUMN_MM, NEAR_TAB, FAR_TAB = 83, 4.1, 5.4
_GAP = 0.25


@dataclass(frozen=True)
class Type:
    """``size`` in points; ``far`` where the tab stops further right."""

    size: int
    far: bool


def type_of(lines: Iterable[tuple[str, str]]) -> Type:
    """The largest type in which no line, told as what stands before its tab and after it, has to break."""
    told = [(wide(before, 1), wide(after, 1)) for before, after in lines]
    far = any(before + _GAP > NEAR_TAB for before, _ in told)
    longest = max((after for _, after in told), default=0) + (FAR_TAB if far else NEAR_TAB)
    room = COLUMN_MM * POINTS_A_MM
    return Type(next((size for size in TYPE_SIZES if longest * size <= room), TYPE_SIZES[-1]), far)


# Under the heads and words of a section's first page, on the shorter paper.
_LAID = replace(PAPER, high=185)
# Under the head of a page alone.
_SHEET = replace(PAPER, high=215)


def laid_drawing(record: dict, unit: str, title: str) -> str:
    """The pattern as it lies on the bench, with the dimensions it is laid by."""
    return laid_svg(record, looks_of(record), unit, title=title, room=_LAID)


def part_drawings(record: dict, unit: str, title: str) -> list[str]:
    """Every kind of part with its size at each stage, in as many drawings as pages."""
    return list(parts_svgs(record, looks_of(record), unit, title=title, room=_SHEET))


def seams_drawing(record: dict, unit: str, title: str) -> str:
    """Where long grain is missing across the rows' seams; empty where no seam is end grain."""
    return seams_svg(record, looks_of(record), unit, title=title, room=_SHEET) if record.get("seams") else ""


def row_drawing(record: dict, parts: Sequence[int], title: str) -> str:
    """Pieces laid from left to right, as numbers of the record's parts, as a strip to scale."""
    pieces = [(record["parts"][n]["wood"], Fraction(record["parts"][n]["place"][0])) for n in parts]
    return strip_svg(pieces, looks_of(record), title=title)


# What stands at the saw with a distance that is set: there a drawing says more than words.
_DRAWN = ("rip", "resaw", "square", "part")


def machines_of(form: str, set_ups: Mapping, record: dict, unit: str, words: Callable[[str], str]) -> dict[str, str]:
    """How the first set-up of each kind at the saw stands there, by kind, from a cut file in JSON and its set-ups."""
    saw, drawn = Saw.of(form, set_ups), {}
    for kind, _, steps in kinds_of(saw):
        step = next((one for one in steps if not one.instead), None)
        if step is not None and kind in _DRAWN:
            title = words(f"Set-up {step.number} at the machine: {step.words}")
            drawn[kind] = machine_svg(step, looks_of(record), unit, saw.blades, title=title, words=words)
    return drawn


def cover_picture(record: dict, colours: Mapping[str, Sequence[str | None]]) -> bytes:
    """The board oiled, in real grain, on white paper, as a JPEG; ``colours`` are oiled and dry by wood, as six digits
    after a #, and a wood without them has the record's own."""
    return printed(record, tones_in(record, colours))
