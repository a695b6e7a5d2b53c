"""Rows cut at their joints: which pieces there are, where they lie in their rows, and equal rows made as one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.build.parts import Lie, Part, stages_of
from planner.build.spec import BoardSpec
from planner.build.words import ACROSS, SIDE
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop


@dataclass(frozen=True, slots=True)
class RowOfParts:
    """A row as it is laid, counted from the top; ``parts`` are numbers into ``Build.parts``, left to right. ``first``
    is the row of the pattern it begins with, and ``deep`` how many rows of the pattern it is made of. A slice of a
    panel says of which, and whether it is ``turned`` end for end; a border's has none of the pattern in it."""

    number: int
    parts: tuple[int, ...]
    first: int
    deep: int = 1
    panel: int = 0
    turned: bool = False


def cells_of(pattern: Pattern, border_wood: str) -> NDArray[np.int16]:
    """Rows × columns of wood numbers, with 0 for background and the border wood's own number where a tile of
    the picture is of it: -1 so that runs of both can be told from tiles."""
    cells = np.array([list(row) for row in pattern.rows], dtype=np.int16)
    if border_wood in pattern.woods:
        cells[cells == pattern.woods.index(border_wood) + 1] = -1
    return cells


def joints_of(cells: NDArray[np.int16], pattern: Pattern, spec: BoardSpec, method: str) -> NDArray[np.bool_]:
    """Rows × (columns + 1): whether a row is jointed at the line left of each column.

    In runs, in deep rows and panels of them too, a tile of the border wood joins the background beside it; as single
    tiles only background does, and only where it leads or trails a row, for there it is one piece with its side border.
    """
    rows, columns = cells.shape
    joints = np.zeros((rows, columns + 1), dtype=bool)
    if method != "tiles":
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


def depths_of(
    cells: NDArray[np.int16],
    pattern: Pattern,
    spec: BoardSpec,
    method: str,
    shop: Shop,
    widest: Mapping[str, Length] | None,
) -> list[int]:
    """How many rows of the pattern each row is made of, from the top: one, but in deep rows as many equal neighbours as
    there are. ``widest`` is the widest strip each wood gives: what is deeper is made of as few rows as that allows, as
    even as they come. A single row too wide is left so, for the lumber to refuse."""
    height = cells.shape[0]
    if method != "deep":
        return [1] * height
    plain = np.where(cells == -1, 0, cells)
    starts = [0, *(np.flatnonzero((plain[1:] != plain[:-1]).any(axis=1)) + 1).tolist(), height]
    found: list[int] = []
    for first, end in pairwise(starts):
        woods = {pattern.woods[k - 1] if k else spec.border_wood for k in np.unique(plain[first]).tolist()}
        if spec.side_border:
            woods.add(spec.border_wood)
        limit = min((widest[wood] for wood in woods if wood in widest), default=None) if widest else None
        found += _split(first, end - first, height, limit, spec, shop)
    return found


def _split(first: int, deep: int, height: int, limit: Length | None, spec: BoardSpec, shop: Shop) -> list[int]:
    """The fewest rows, as even as they come, none of which is ripped wider than ``limit``."""
    for many in range(1, deep):
        depths = [deep // many + (n < deep % many) for n in range(many)]
        at, widths = first, []
        for one in depths:
            edges = _edges(at, one, height, spec)
            lie = Lie(spec.pitch, spec.pitch * one + shop.edge_trim * edges, 2, 2 - edges, 0, edges)
            widths.append(stages_of(lie, spec.thickness, shop)[0].width)
            at += one
        if limit is None or max(widths) <= limit:
            return depths
    return [1] * deep


def _edges(first: int, deep: int, height: int, spec: BoardSpec) -> int:
    """How many edges of a row are the blank's own, to be trimmed: none where borders run along them."""
    return 0 if spec.end_border else (first == 0) + (first + deep == height)


def lay(
    cells: NDArray[np.int16],
    joints: NDArray[np.bool_],
    pattern: Pattern,
    spec: BoardSpec,
    rows_deep: list[int],
    shop: Shop,
) -> tuple[tuple[Part, ...], tuple[RowOfParts, ...], int | None, int | None]:
    """Cut every row at its joints, and gather pieces that are alike. ``rows_deep`` says how many rows of the pattern
    each row is made of, from the top."""
    height, width = cells.shape
    names = {0: spec.border_wood, -1: spec.border_wood} | {i + 1: w for i, w in enumerate(pattern.woods)}
    numbers: dict[tuple[object, ...], int] = {}
    tally: list[int] = []
    rows: list[RowOfParts] = []
    begin, end = (-1, width + 1) if spec.side_border else (0, width)
    lines = joints.tolist()
    values = cells.tolist()
    first = 0
    for deep in rows_deep:
        edges = _edges(first, deep, height, spec)
        laid = []
        for start, stop in pieces_of(lines[first], begin, end):
            left, right = start == begin, stop == end
            border = start < 0 or stop > width
            cell = 0 if border else values[first][start]
            tiles = min(stop, width) - max(start, 0)
            # A piece can be turned end for end, so left and right ends of one size are one part.
            ends = int(left) + int(right)
            key = (names[cell], tiles, ends, border, edges, deep)
            if key not in numbers:
                numbers[key] = len(tally)
                tally.append(0)
            tally[numbers[key]] += 1
            laid.append(numbers[key])
        rows.append(RowOfParts(len(rows) + 1, tuple(laid), first + 1, deep))
        first += deep
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


def pieces_of(line: list[bool], begin: int, end: int) -> Iterator[tuple[int, int]]:
    """Start and stop column of each piece of a row; a side border reaches one column beyond the picture."""
    start = begin
    for stop in [column for column, jointed in enumerate(line) if jointed]:
        yield start, stop
        start = stop
    yield start, end


def _part(key: tuple[object, ...], count: int, spec: BoardSpec, shop: Shop) -> Part:
    wood, tiles, ends, border, edges, deep = key
    assert isinstance(wood, str) and isinstance(tiles, int) and isinstance(ends, int)
    assert isinstance(edges, int) and isinstance(deep, int)
    length = spec.pitch * tiles + shop.end_trim * ends
    if border:
        length = length + spec.side_border * ends
    lie = Lie(length, spec.pitch * deep + shop.edge_trim * edges, 2 - ends, 2 - edges, ends, edges)
    return Part(
        _kind(tiles, ends, bool(border)),
        wood,
        tiles,
        count,
        lie.length,
        lie.width,
        stages_of(lie, spec.thickness, shop),
        deep,
    )


def _kind(tiles: int, ends: int, border: bool) -> str:
    """What a piece is called. Without side borders a piece at a row's end is a tile or run left long there."""
    if border:
        return "through row" if ends == 2 else SIDE
    return ("", "end ", "through ")[ends] + ("tile" if tiles == 1 else "run")
