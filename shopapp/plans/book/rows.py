"""Rows to lay, a line a run, with the counts that must come out; of panels their strips, and whose slice each row is.

Counts are sums of what the record holds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from planner.measures import Length, format_length
from shopapp.plans.lines import LaidRow, LaidRun, PanelLine

from . import planning
from .minding import Minding, minding
from .told import Told

FIGURE_SPACE = "\u2007"
# A box a copy, as long as they fit in a line.
MOST_BOXES = 6


@dataclass(frozen=True)
class Alike:
    """``many`` pieces alike next to one another, the first of them in place ``number`` from where the row begins;
    ``size`` is what each is crosscut to, a strip of a panel gauged to."""

    number: int
    many: int
    wood_name: str
    tiles: int
    is_border: bool
    size: str

    @property
    def told(self) -> str:
        """How many tiles long each is; B where the border is, with what is background behind it."""
        tiles = str(self.tiles or "–")
        if self.is_border:
            tiles = f"B+{self.tiles}" if self.tiles else "B"
        return tiles if self.many == 1 else f"{self.many}×{tiles}"

    @property
    def before_tab(self) -> str:
        return f"{_lined_up(self.number)}  {_lined_up(self.told)}"

    @property
    def past_tab(self) -> str:
        return f"{self.wood_name} ({self.size})"

    @property
    def line(self) -> str:
        """The place, then the tiles, then past a tab the wood and in brackets the size."""
        return f"{self.before_tab}\t{self.past_tab}"


@dataclass(frozen=True)
class _Counted:
    """What lies in one row or panel, from where it begins."""

    runs: tuple[Alike, ...]

    @property
    def pieces(self) -> int:
        return sum(run.many for run in self.runs)

    @property
    def tiles(self) -> int:
        return sum(run.many * run.tiles for run in self.runs)

    @property
    def lines(self) -> str:
        return "\n".join(run.line for run in self.runs)


@dataclass(frozen=True)
class Block(_Counted):
    """Neighbouring rows alike, ``first`` to ``last``, laid one like the other, and how one of them is ``drawn``;
    ``picture`` are the rows of the picture the first is made of where it is more than one. ``so_far`` are all pieces
    laid by its end, ``like`` an earlier row that is the same, 0 for none."""

    first: int
    last: int
    picture: tuple[int, int] | None
    so_far: int
    like: int
    drawn: str

    @property
    def many(self) -> int:
        return self.last - self.first + 1


@dataclass(frozen=True)
class PanelBlock(_Counted):
    """Panels alike; ``glued`` are (how many, how long)."""

    number: int
    glued: tuple[tuple[int, str], ...]
    width: str
    thickness: str
    sliced: str
    slices: int
    spare: int
    drawn: str


@dataclass(frozen=True)
class WoodCount:
    wood_name: str
    pieces: int
    tiles: int


@dataclass(frozen=True)
class Rows:
    """``tiles`` is how many tiles long every row has to come out, 0 where rows are slices of ``panels``. ``slices`` has
    a line for each row then. ``boxes`` has one for each box to tick beside a row, ``type`` is the largest in which no
    line has to break. ``woods`` are what has to be laid of each wood in the rows of one board."""

    drawn: str
    unit_words: str
    blocks: tuple[Block, ...]
    panels: tuple[PanelBlock, ...]
    slices: str
    many: int
    tiles: int
    woods: tuple[WoodCount, ...]
    minding: tuple[Minding, ...]
    boxes: range
    type: planning.Type

    @property
    def pieces(self) -> int:
        return sum(wood.pieces for wood in self.woods)

    @property
    def all_tiles(self) -> int:
        return sum(wood.tiles for wood in self.woods)


def rows_of(told: Told) -> Rows:
    view, unit = told.view, told.shop.unit
    laid = view.rows()
    panels = tuple(_panel(panel, told) for panel in view.panels())
    blocks = () if panels else tuple(_blocks(laid, told))
    return Rows(
        drawn=planning.laid_drawing(told.record, unit, f"{told.plan.title}: the rows as they are laid"),
        unit_words="inches" if unit == "in" else "millimetres",
        blocks=blocks,
        panels=panels,
        slices="\n".join(_slice_line(row, view.is_upright) for row in laid) if panels else "",
        many=len(laid),
        tiles=0 if panels else told.record["columns"],
        woods=_woods(laid),
        minding=minding(told, "gluing"),
        boxes=range(view.copies if view.copies <= MOST_BOXES else 1),
        type=planning.type_of((run.before_tab, run.past_tab) for one in (*blocks, *panels) for run in one.runs),
    )


def _lined_up(count: object) -> str:
    """A number of one figure stands under the last of one with two."""
    text = str(count)
    return text.rjust(2, FIGURE_SPACE) if text.isdigit() else text


def _alike(laid: Sequence[LaidRun], unit: str) -> tuple[Alike, ...]:
    found, number = [], 1
    for run, same in groupby(laid):
        many = len(list(same))
        found.append(Alike(number, many, run.wood_name, run.tiles, run.border, _size(run.length, unit)))
        number += many
    return tuple(found)


def _as_gauged(runs: Sequence[LaidRun], parts: Sequence[int], told: Told) -> Sequence[LaidRun]:
    """Runs at the lengths they are crosscut to once a tile was gauged."""
    if told.gauged is None or told.gauged.followed is None:
        return runs
    made = told.gauged.followed.crosscuts
    return [replace(run, length=str(made[part].mm)) for run, part in zip(runs, parts, strict=True)]


def _size(mm: str, unit: str) -> str:
    return format_length(Length.of_mm(mm), unit, with_unit=False)


def _blocks(laid: Sequence[LaidRow], told: Told) -> Iterator[Block]:
    """Rows are alike where all their parts are, and not only woods and tiles: those at a board's edge are wider."""
    recorded = told.record["laid"]
    seen: dict[tuple, int] = {}
    so_far, at = 0, 0
    while at < len(laid):
        key, end = _key(recorded[at]), at + 1
        while end < len(laid) and _key(recorded[end]) == key:
            end += 1
        row = laid[at]
        so_far += row.count * (end - at)
        picture = (row.first, row.last) if row.last > row.first else None
        drawn = planning.row_drawing(told.record, recorded[at]["parts"], f"Row {row.number} as it is laid")
        runs = _alike(_as_gauged(row.runs, recorded[at]["parts"], told), told.shop.unit)
        yield Block(runs, row.number, laid[end - 1].number, picture, so_far, seen.get(key, 0), drawn)
        seen.setdefault(key, row.number)
        at = end


def _key(row: dict) -> tuple:
    return tuple(row["parts"]), row.get("deep", 1)


def _panel(panel: PanelLine, told: Told) -> PanelBlock:
    _, width, thickness = panel.record["size"]
    return PanelBlock(
        number=panel.number,
        runs=_alike(panel.strips, told.shop.unit),
        glued=tuple((many, length) for length, many in panel.lengths),
        width=width,
        thickness=thickness,
        sliced=panel.sliced,
        slices=panel.record["slices"],
        spare=panel.record["spare"],
        drawn=planning.row_drawing(told.record, panel.record["strips"], f"Panel {panel.number}, its strips in order"),
    )


def _slice_line(row: LaidRow, upright: bool) -> str:
    turned = ", turned" if row.turned else ""
    of = f"{'column' if upright else 'row'} {row.first}" if row.first else "border"
    return f"{_lined_up(row.number)}  panel {row.panel}{turned}; {of}"


def _woods(laid: Sequence[LaidRow]) -> tuple[WoodCount, ...]:
    pieces: Counter[str] = Counter()
    tiles: Counter[str] = Counter()
    for row in laid:
        for run in row.runs:
            pieces[run.wood_name] += 1
            tiles[run.wood_name] += run.tiles
    return tuple(WoodCount(name, many, tiles[name]) for name, many in pieces.most_common())
