"""The build itself: rows of pieces from a pattern, their joints and seams, and what there is to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from planner.build.parts import Lie, Part, stages_of
from planner.build.seams import Seam, seams_of, weakest_of
from planner.build.spec import BoardSpec, BuildError, check_spec
from planner.build.warnings import Warning_, seam_warnings
from planner.build.words import ACROSS, BORDERS, ENDS, SIDE
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop


@dataclass(frozen=True, slots=True)
class RowOfParts:
    """A row as it is laid, counted from the top; ``parts`` are numbers into ``Build.parts``, left to right."""

    number: int
    parts: tuple[int, ...]


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
        return self.finished_height + self.shop.edge_trim * 2

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
                yield Placed(number, row.number, x, y, length, width)
                x = x + length
            y = y + width
        if self.bottom_border is not None:
            part = self.parts[self.bottom_border]
            yield Placed(self.bottom_border, None, ZERO, y, part.place_length, part.place_width)


def build(pattern: Pattern, spec: BoardSpec, method: str, shop: Shop) -> Build:
    """Build ``pattern``, as it hangs, as a board of ``spec``'s sizes by ``method`` (one of METHODS).

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
    cells = _cells(pattern, spec.border_wood)
    joints = _joints(cells, pattern, spec, method)
    _check_side_borders(joints, spec)
    parts, rows, top, bottom = _lay(cells, joints, pattern, spec, method, shop)
    counts = _count(parts, rows, joints, top)
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


def _cells(pattern: Pattern, border_wood: str) -> NDArray[np.int16]:
    """Rows × columns of wood numbers, with 0 for background and the border wood's own number where a tile of
    the picture is of it: -1 so that runs of both can be told from tiles."""
    cells = np.array([list(row) for row in pattern.rows], dtype=np.int16)
    if border_wood in pattern.woods:
        cells[cells == pattern.woods.index(border_wood) + 1] = -1
    return cells


def _joints(cells: NDArray[np.int16], pattern: Pattern, spec: BoardSpec, method: str) -> NDArray[np.bool_]:
    """Rows × (columns + 1): whether a row is jointed at the line left of each column.

    In runs a tile of the border wood joins the background beside it; as single tiles only background does,
    and only where it leads or trails a row, for there it is one piece with its side border.
    """
    rows, columns = cells.shape
    joints = np.zeros((rows, columns + 1), dtype=bool)
    if method == "runs":
        plain = np.where(cells == -1, 0, cells)
        joints[:, 1:columns] = plain[:, 1:] != plain[:, :-1]
        of_border = plain == 0
        edge_left, edge_right = of_border[:, 0], of_border[:, -1]
    else:
        background = cells == 0
        leading = np.logical_and.accumulate(background, axis=1)
        trailing = np.logical_and.accumulate(background[:, ::-1], axis=1)[:, ::-1]
        joints[:, 1:columns] = ~(leading[:, 1:] & leading[:, :-1]) & ~(trailing[:, 1:] & trailing[:, :-1])
        edge_left, edge_right = background[:, 0], background[:, -1]
    if spec.side_border:
        joints[:, 0] = ~edge_left
        joints[:, columns] = ~edge_right
    return joints


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


def _lay(
    cells: NDArray[np.int16],
    joints: NDArray[np.bool_],
    pattern: Pattern,
    spec: BoardSpec,
    method: str,
    shop: Shop,
) -> tuple[tuple[Part, ...], tuple[RowOfParts, ...], int | None, int | None]:
    """Cut every row at its joints, and gather pieces that are alike."""
    height, width = cells.shape
    names = {0: spec.border_wood, -1: spec.border_wood} | {i + 1: w for i, w in enumerate(pattern.woods)}
    numbers: dict[tuple[object, ...], int] = {}
    tally: list[int] = []
    rows = []
    begin, end = (-1, width + 1) if spec.side_border else (0, width)
    lines = joints.tolist()
    values = cells.tolist()
    for r in range(height):
        edges = (r == 0 and not spec.end_border) + (r == height - 1 and not spec.end_border)
        laid = []
        for start, stop in _pieces(lines[r], begin, end):
            left, right = start == begin, stop == end
            border = start < 0 or stop > width
            cell = 0 if border else values[r][start]
            first, last = max(start, 0), min(stop, width)
            # A piece can be turned end for end, so left and right ends of one size are one part.
            ends = int(left) + int(right)
            key = (names[cell], last - first, ends, border, edges)
            if key not in numbers:
                numbers[key] = len(tally)
                tally.append(0)
            tally[numbers[key]] += 1
            laid.append(numbers[key])
        rows.append(RowOfParts(r + 1, tuple(laid)))
    parts = [_part(key, tally[n], spec, shop) for key, n in numbers.items()]
    if not spec.end_border:
        return tuple(parts), tuple(rows), None, None
    blank_length = spec.pitch * width + (spec.side_border + shop.end_trim) * 2
    lie = Lie(blank_length, spec.end_border + shop.edge_trim, 0, 1, 2, 1)
    border = Part(
        ACROSS,
        spec.border_wood,
        0,
        2,
        lie.length,
        lie.width,
        stages_of(lie, spec.thickness, shop),
    )
    return (*parts, border), tuple(rows), len(parts), len(parts)


def _pieces(line: list[bool], begin: int, end: int) -> Iterator[tuple[int, int]]:
    """Start and stop column of each piece of a row; a side border reaches one column beyond the picture."""
    start = begin
    for stop in [column for column, jointed in enumerate(line) if jointed]:
        yield start, stop
        start = stop
    yield start, end


def _part(key: tuple[object, ...], count: int, spec: BoardSpec, shop: Shop) -> Part:
    wood, tiles, ends, border, edges = key
    assert isinstance(wood, str) and isinstance(tiles, int) and isinstance(ends, int) and isinstance(edges, int)
    length = spec.pitch * tiles + shop.end_trim * ends
    if border:
        length = length + spec.side_border * ends
    lie = Lie(length, spec.pitch + shop.edge_trim * edges, 2 - ends, 2 - edges, ends, edges)
    return Part(
        _kind(tiles, ends, bool(border)),
        wood,
        tiles,
        count,
        lie.length,
        lie.width,
        stages_of(lie, spec.thickness, shop),
    )


def _kind(tiles: int, ends: int, border: bool) -> str:
    """What a piece is called. Without side borders a piece at a row's end is a tile or run left long there."""
    if border:
        return "through row" if ends == 2 else SIDE
    return ("", "end ", "through ")[ends] + ("tile" if tiles == 1 else "run")


def _count(
    parts: tuple[Part, ...], rows: tuple[RowOfParts, ...], joints: NDArray[np.bool_], top: int | None
) -> BuildCounts:
    pieces = sum(part.count for part in parts)
    return BuildCounts(
        pieces=pieces,
        crosscuts=pieces,
        stop_settings=len({part.stage("crosscut").length for part in parts}),
        rows_glued=sum(len(row.parts) > 1 for row in rows),
        joints_in_rows=int(joints.sum()),
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
