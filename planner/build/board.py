"""The build itself: rows of pieces from a pattern, their joints and seams, and what there is to do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from planner.build.laying import RowOfParts, cells_of, depths_of, joints_of, lay
from planner.build.panels import LaidPanels, Panel, lay_panels
from planner.build.parts import Part
from planner.build.seams import Seam, seams_of, weakest_of
from planner.build.spec import BoardSpec, BuildError, check_spec
from planner.build.warnings import END_GRAIN, Warning_, seam_warnings
from planner.build.words import BORDERS, ENDS
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize


@dataclass(frozen=True, slots=True)
class Placed:
    """Where one piece lies in the blank. ``row`` counts from 1; None for a top or bottom border."""

    part: int
    row: int | None
    x: Length
    y: Length
    length: Length
    width: Length


@dataclass(frozen=True, slots=True)
class Joints:
    """Joints of one board. ``in_rows`` are end grain to end grain, the others long grain; the area to glue
    counts every joint once, at the thickness before flattening."""

    in_rows: int
    row_to_row: int
    borders: int
    glue_area_mm2: Fraction


@dataclass(frozen=True, slots=True)
class BuildCounts:
    """What there is to do for one board, spares left out."""

    pieces: int
    crosscuts: int
    stop_settings: int
    rows_glued: int
    joints_in_rows: int
    row_joints: int
    border_strips: int


@dataclass(frozen=True, slots=True)
class Build:
    """One board, worked out as it lies on the bench. Parts, counts and joints are for one board whatever
    ``spec.quantity`` asks.

    ``pattern`` is the picture as its rows are laid, row 1 at the top: turned a quarter clockwise where rows stand
    upright, so that row 1 hangs at the left and every row begins at the bottom. ``picture`` is the board as it hangs.
    """

    pattern: Pattern
    spec: BoardSpec
    method: str
    shop: Shop
    parts: tuple[Part, ...]
    rows: tuple[RowOfParts, ...]
    top_border: int | None
    bottom_border: int | None
    joints: Joints
    seams: tuple[Seam, ...]
    weakest: Seam | None
    counts: BuildCounts
    warnings: tuple[Warning_, ...]
    panels: tuple[Panel, ...] = ()

    @property
    def picture(self) -> Pattern:
        return self.pattern.turned(-1) if self.spec.along == "columns" else self.pattern

    @property
    def finished_length(self) -> Length:
        """Along the rows; ``finished_height`` is across them."""
        return self.spec.pitch * self.pattern.width + self.spec.side_border * 2

    @property
    def finished_height(self) -> Length:
        return self.spec.pitch * self.pattern.height + self.spec.end_border * 2

    @property
    def blank_length(self) -> Length:
        return self.finished_length + self.shop.end_trim * 2

    @property
    def blank_height(self) -> Length:
        # Slices without borders along them leave nothing to trim: equal rows come out of one panel.
        trimmed = self.spec.end_border or not self.panels
        return self.finished_height + self.shop.edge_trim * (2 if trimmed else 0)

    @property
    def placed(self) -> Iterator[Placed]:
        """Every piece in its place, top border first, then row by row from the left, then the bottom border."""
        y = ZERO
        if self.top_border is not None:
            part = self.parts[self.top_border]
            yield Placed(self.top_border, None, ZERO, y, part.place_length, part.place_width)
            y = y + part.place_width
        for row in self.rows:
            x = ZERO
            width = self.parts[row.parts[0]].place_width
            for number in row.parts:
                length = self.parts[number].place_length
                yield Placed(number, row.number if row.first else None, x, y, length, width)
                x = x + length
            y = y + width
        if self.bottom_border is not None:
            part = self.parts[self.bottom_border]
            yield Placed(self.bottom_border, None, ZERO, y, part.place_length, part.place_width)


def build(
    pattern: Pattern,
    spec: BoardSpec,
    method: str,
    shop: Shop,
    widest: Mapping[str, Length] | None = None,
    *,
    stock: Mapping[str, StockSize] | None = None,
    spare: Callable[[int], int] = lambda needed: 0,
) -> Build:
    """Build ``pattern``, as it hangs, as a board of ``spec``'s sizes by ``method`` (one of METHODS). ``widest`` is the
    widest strip that comes out of each wood's stock, which deep rows keep to; None where no stock is known. Panels keep
    to ``stock``, and are long enough for so many spare slices as ``spare`` asks for so many needed.

    Raises BuildError, naming the field of the spec at fault. Sizes are exact; any pattern up to the largest
    side. ``method`` stands beside the spec so that one board can be reckoned both ways.

    >>> mm = Length.of_mm
    >>> spec = BoardSpec("wall", mm(20), mm(18), mm(30), mm(25), "runs", 1, "sycamore")
    >>> board = build(Pattern.of([[None, "beech", "beech", None]]), spec, "runs", Shop())
    >>> board.finished_length, board.finished_height
    (Length('140 mm'), Length('70 mm'))
    >>> [(part.kind, part.count, part.stage("crosscut").length) for part in board.parts][1]
    ('run', 1, Length('39.9 mm'))
    """
    check_spec(spec, method, shop)
    if pattern.background == pattern.height * pattern.width:
        raise BuildError("The pattern is all background.", mend="Give it at least one tile of wood.")
    if spec.along == "columns":
        pattern = pattern.turned()
    cells = cells_of(pattern, spec.border_wood)
    joints = joints_of(cells, pattern, spec, method)
    if method == "panels":
        return _of_panels(pattern, spec, shop, lay_panels(cells, joints, pattern, spec, shop, stock or {}, spare))
    _check_side_borders(joints, spec)
    depths = depths_of(cells, pattern, spec, method, shop, widest)
    parts, rows, top, bottom = lay(cells, joints, pattern, spec, depths, shop)
    counts = _count(parts, rows, top)
    seams = seams_of(joints, spec.pitch, spec.end_border)
    blank_length = spec.pitch * pattern.width + (spec.side_border + shop.end_trim) * 2
    return Build(
        pattern,
        spec,
        method,
        shop,
        parts,
        rows,
        top,
        bottom,
        _glue(counts, rows, parts, blank_length, spec.thickness + shop.flattening),
        seams,
        weakest_of(seams),
        counts,
        seam_warnings(seams, pattern.width, method, shop, spec.along),
    )


def _of_panels(pattern: Pattern, spec: BoardSpec, shop: Shop, laid: LaidPanels) -> Build:
    """Every joint is side grain to side grain, so that no seam is weak."""
    thickness = spec.thickness + shop.flattening
    length = spec.pitch * pattern.width + (spec.side_border + shop.end_trim) * 2
    joints = len(laid.rows) - 1
    glue = joints * length.mm * thickness.mm + laid.glue_mm2 / spec.quantity
    # The fence for each width of strip, the stop once for all slices.
    widths = {part.stage("ripped").width for part in laid.parts}
    counts = BuildCounts(
        pieces=len(laid.rows),
        crosscuts=len(laid.rows),
        stop_settings=len(widths) + 1,
        rows_glued=0,
        joints_in_rows=0,
        row_joints=joints,
        border_strips=0,
    )
    return Build(
        pattern,
        spec,
        "panels",
        shop,
        laid.parts,
        laid.rows,
        None,
        None,
        Joints(0, joints, 0, glue),
        (),
        None,
        counts,
        (END_GRAIN,),
        laid.panels,
    )


def _check_side_borders(joints: NDArray[np.bool_], spec: BoardSpec) -> None:
    if not spec.side_border:
        return
    bare = [side for side, column in zip(ENDS[spec.along], (0, -1), strict=True) if joints[:, column].all()]
    if bare:
        borders, _ = BORDERS[spec.along]
        one = "a side border" if spec.along == "rows" else "a border there"
        raise BuildError(
            f"The picture has no background at its {' and '.join(bare)}, so {one} would hold by end grain.",
            mend=f"Add background around the picture, or make the {borders} 0.",
            field="side_border",
        )


def _count(parts: tuple[Part, ...], rows: tuple[RowOfParts, ...], top: int | None) -> BuildCounts:
    pieces = sum(part.count for part in parts)
    return BuildCounts(
        pieces=pieces,
        crosscuts=pieces,
        stop_settings=len({part.stage("crosscut").length for part in parts}),
        rows_glued=sum(len(row.parts) > 1 for row in rows),
        joints_in_rows=sum(len(row.parts) - 1 for row in rows),
        row_joints=len(rows) - 1,
        border_strips=0 if top is None else 2,
    )


def _glue(
    counts: BuildCounts,
    rows: tuple[RowOfParts, ...],
    parts: tuple[Part, ...],
    length: Length,
    thickness: Length,
) -> Joints:
    across = sum(((len(row.parts) - 1) * parts[row.parts[0]].stage("gauged").width.mm for row in rows), Fraction(0))
    along = (counts.row_joints + counts.border_strips) * length.mm
    return Joints(counts.joints_in_rows, counts.row_joints, counts.border_strips, (across + along) * thickness.mm)
