"""What there is to cut and to glue, counted from rows of pieces: the pure core every method stands on.

A row is its pieces from left to right, each a wood and a length along the row, and the row's height. Lengths are
exact fractions of one unit, millimetres everywhere else in the planner. Nothing here knows of borders, allowances,
spares or boards of wood: whoever counts a real board hands in rows that carry them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

Piece = tuple[str, Fraction]


@dataclass(frozen=True, slots=True)
class Row:
    """Pieces (wood, length) from left to right, and how high the row is."""

    pieces: tuple[Piece, ...]
    height: Fraction


@dataclass(frozen=True, slots=True)
class RowCounts:
    """What rows of pieces ask for. ``kerf_area`` is what the crosscuts turn to dust, seen from above, and
    ``end_area`` the end grain to glue for each unit of thickness."""

    pieces: int
    crosscuts: int
    stops: int
    rows_glued: int
    joints: int
    row_joints: int
    kerf_area: Fraction
    end_area: Fraction


@dataclass(frozen=True, slots=True)
class Panel:
    """``count`` panels alike give ``slices`` slices in all, each one such row; none gives more than ``holds``
    (None: as many as are wanted). ``longest`` is the length of the longest of them, ``total`` that of all together."""

    row: Row
    slices: int
    holds: int | None
    count: int
    longest: Fraction
    total: Fraction

    @property
    def strips(self) -> int:
        return self.count * len(self.row.pieces)

    @property
    def joints(self) -> int:
        return self.count * (len(self.row.pieces) - 1)

    @property
    def width(self) -> Fraction:
        return sum((length for _, length in self.row.pieces), Fraction(0))


@dataclass(frozen=True, slots=True)
class PanelCounts:
    """What panels cut into slices ask for, in the order the different rows were met; ``thicknesses`` is how many
    different ones of slices there are. Areas are seen from above the panels."""

    panels: tuple[Panel, ...]
    row_joints: int
    kerf: Fraction
    grip: Fraction
    thicknesses: int

    @property
    def slices(self) -> int:
        return sum(panel.slices for panel in self.panels)

    @property
    def stops(self) -> int:
        """The fence is set once for each width of strip, the stop once for each thickness of slice."""
        return len({length for panel in self.panels for _, length in panel.row.pieces}) + self.thicknesses

    @property
    def kerf_area(self) -> Fraction:
        return self.kerf * sum((panel.slices * panel.width for panel in self.panels), Fraction(0))

    @property
    def grip_area(self) -> Fraction:
        return self.grip * sum((panel.count * panel.width for panel in self.panels), Fraction(0))

    @property
    def panel_count(self) -> int:
        return sum(panel.count for panel in self.panels)

    @property
    def strips(self) -> int:
        return sum(panel.strips for panel in self.panels)

    @property
    def joints(self) -> int:
        return sum(panel.joints for panel in self.panels)

    @property
    def strip_length(self) -> Fraction:
        """Of all strips together."""
        return sum((panel.total * len(panel.row.pieces) for panel in self.panels), Fraction(0))


def tiles(cells: Sequence[Sequence[str]], pitch: Fraction) -> list[Row]:
    """A piece a cell."""
    return [Row(tuple((wood, pitch) for wood in row), pitch) for row in cells]


def runs(cells: Sequence[Sequence[str]], pitch: Fraction) -> list[Row]:
    """Neighbouring cells of one wood in a row as one piece.

    >>> runs(["aab"], Fraction(20))[0].pieces
    (('a', Fraction(40, 1)), ('b', Fraction(20, 1)))
    """
    return [Row(merged((wood, pitch) for wood in row), pitch) for row in cells]


def deep(rows: Sequence[Row]) -> list[Row]:
    """Equal neighbouring rows made as one, as high as both together.

    >>> [row.height for row in deep(runs(["ab", "ab", "ba"], Fraction(20)))]
    [Fraction(40, 1), Fraction(20, 1)]
    """
    return [
        Row(pieces, sum((row.height for row in alike), Fraction(0)))
        for pieces, alike in groupby(rows, key=lambda row: row.pieces)
    ]


def upright(cells: Sequence[Sequence[str]]) -> list[tuple[str, ...]]:
    """The picture turned on its side, so that what were columns are rows."""
    return list(zip(*cells, strict=True))


def merged(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Neighbours of one wood as one piece; pieces without length fall away."""
    found = groupby((piece for piece in pieces if piece[1]), key=lambda piece: piece[0])
    return tuple((wood, sum((length for _, length in same), Fraction(0))) for wood, same in found)


def count_rows(rows: Sequence[Row], copies: int, kerf: Fraction) -> RowCounts:
    """Rows glued piece by piece, then to each other. A row of one piece needs no gluing; a stop is set once for all
    copies, and every piece is one crosscut.

    >>> count_rows(runs(["aab", "aaa"], Fraction(20)), 2, Fraction(3)).pieces
    6
    """
    pieces = sum(len(row.pieces) for row in rows)
    return RowCounts(
        pieces=copies * pieces,
        crosscuts=copies * pieces,
        stops=len({length for row in rows for _, length in row.pieces}),
        rows_glued=copies * sum(len(row.pieces) > 1 for row in rows),
        joints=copies * (pieces - len(rows)),
        row_joints=copies * (len(rows) - 1),
        kerf_area=copies * kerf * sum((len(row.pieces) * row.height for row in rows), Fraction(0)),
        end_area=copies * sum(((len(row.pieces) - 1) * row.height for row in rows), Fraction(0)),
    )


def distinct(rows: Sequence[Row]) -> dict[Row, int]:
    """Which different rows there are, and how often each is wanted; a row and the same turned end for end are one,
    called by the way round that was met first.

    >>> [often for often in distinct(runs(["ab", "bb", "ba"], Fraction(1))).values()]
    [2, 1]
    """
    often: dict[Row, int] = {}
    for row in rows:
        back = Row(row.pieces[::-1], row.height)
        same = back if back in often and row not in often else row
        often[same] = often.get(same, 0) + 1
    return often


def count_panels(
    often: Mapping[Row, int],
    copies: int,
    *,
    step: Callable[[Row], Fraction],
    kerf: Fraction,
    grip: Fraction,
    longest: Fraction | None = None,
    spare: Callable[[int], int] = lambda needed: 0,
) -> PanelCounts:
    """Strips glued side by side in a row's order and crosscut into slices: one panel serves equal rows, rows equal end
    for end, and every copy.

    ``often`` are a board's ``distinct`` rows. ``step`` is how thick a slice of a row is cut, ``grip`` the end of a
    panel that is never sliced. A panel no longer than ``longest`` holds so many slices; more are cut from further
    panels. ``spare`` says how many slices more than needed are cut. Raises ValueError where not even one slice comes
    out of the longest.
    """
    panels, thicknesses = [], set()
    for row, times in often.items():
        slices, thick = times * copies + spare(times * copies), step(row)
        thicknesses.add(thick)
        each = thick + kerf
        holds = None if longest is None else int((longest - grip) // each)
        if holds is not None and holds < 1:
            raise ValueError("not one slice comes out of the longest panel")
        count = 1 if holds is None else -(-slices // holds)
        most = slices if holds is None else min(slices, holds)
        panels.append(Panel(row, slices, holds, count, most * each + grip, slices * each + count * grip))
    return PanelCounts(tuple(panels), copies * (sum(often.values()) - 1), kerf, grip, len(thicknesses))
