"""The door to the planner for the marking-out sheets: a cut plan in, boards with their drawings and lists out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.cutting.fromshop import length_of, unit_of
from planner.cutting.plan import BoardCut, CutFile, StockBoard, from_json
from planner.cutting.setups import rough_name
from planner.drawing import WoodLook, plank_svg
from planner.drawing.marking import (
    PAPER,
    PHONE,
    SCREEN,
    Layer,
    LayerDrawn,
    RoughLaid,
    StripLaid,
    board_marking_svg,
    key_svgs,
    lay_out,
    layer_marking_svgs,
    names_of,
)
from planner.measures import Length

__all__ = ["WoodLook", "boards", "cut_file", "kerfs", "key_of", "part_totals"]

OFFCUTS = {"end": "end of the board", "edge": "beside the strips", "tail": "end of a strip", "layer": "second layer"}


@dataclass(frozen=True)
class Drawings:
    """One thing drawn: ``wide`` for a page, ``narrow`` for a phone. On paper there is only ``wide``."""

    wide: str
    narrow: str = ""


@dataclass(frozen=True)
class PartsLine:
    """``count`` parts called ``name``, crosscut to ``pieces`` each (mostly one)."""

    count: int
    pieces: tuple[Length, ...]
    name: str

    @property
    def total(self) -> int:
        return self.count * len(self.pieces)


@dataclass(frozen=True)
class StripLine:
    """Strips next to one another that are cut alike: ``names`` each of them, ``shown`` the first to the last;
    ``parts`` is what each of them gives, ``left`` what each leaves, for the rack where it is ``kept``."""

    names: tuple[str, ...]
    shown: str
    width: Length
    parts: tuple[PartsLine, ...]
    left: Length
    kept: bool

    @property
    def count(self) -> int:
        return len(self.names)

    @property
    def pieces(self) -> int:
        """Of one strip."""
        return sum(line.total for line in self.parts)


@dataclass(frozen=True)
class LayerLine:
    """A rough length that is ripped, or one layer of it; ``rest`` is left beside its strips, None for nothing."""

    name: str
    length: Length
    thickness: Length
    drawings: Drawings
    strips: tuple[StripLine, ...]
    rest: Length | None
    rest_kept: bool

    @property
    def strip_count(self) -> int:
        return sum(line.count for line in self.strips)

    @property
    def pieces(self) -> int:
        return sum(line.count * line.pieces for line in self.strips)


@dataclass(frozen=True)
class RoughLine:
    """A rough length along the tape. ``becomes`` is "" for one that is ripped."""

    name: str
    front: Length
    end: Length
    length: Length
    becomes: str


@dataclass(frozen=True)
class OffcutLine:
    off: str
    words: str
    width: Length
    length: Length


@dataclass(frozen=True)
class BoardLine:
    """A board with everything that is cut of it. ``to_buy`` is one that is imagined."""

    mark: str
    wood: str
    wood_name: str
    wood_mark: str
    plank: str
    width: Length
    length: Length
    drawings: Drawings
    rough: tuple[RoughLine, ...]
    layers: tuple[LayerLine, ...]
    offcuts: tuple[OffcutLine, ...]
    bad: tuple[tuple[Length, Length], ...]

    @property
    def to_buy(self) -> bool:
        return " " in self.mark

    @property
    def strip_count(self) -> int:
        return sum(layer.strip_count for layer in self.layers)

    @property
    def pieces(self) -> int:
        return sum(layer.pieces for layer in self.layers)


@dataclass(frozen=True)
class PartTotal:
    """Parts alike that are wanted, spares among them."""

    wood_name: str
    name: str
    count: int
    length: Length
    width: Length
    thickness: Length
    pieces: tuple[Length, ...]


def cut_file(form: str) -> CutFile:
    return from_json(form)


def kerfs(form: str) -> tuple[Length, Length]:
    """What the blade takes that crosscuts, and the one that rips, as a cut file in JSON reckons them."""
    file = from_json(form)
    unit, rules = unit_of(file.unit), file.job.rules
    return length_of(rules.crosscut_kerf, unit), length_of(rules.rip_kerf, unit)


def boards(file: CutFile, looks: Mapping[str, WoodLook], writes: str, *, on_paper: bool = False) -> list[BoardLine]:
    """Every board of the plan in its order; ``looks`` by wood, ``writes`` "mm" or "in"."""
    if file.plan is None:
        return []
    shelf = {board.name: board for board in file.job.stock}
    table = _Table(file, looks, writes, on_paper)
    return [table.board(cut, shelf[cut.board]) for cut in file.plan.boards]


def part_totals(file: CutFile, looks: Mapping[str, WoodLook]) -> list[PartTotal]:
    unit = unit_of(file.unit)
    woods = list(dict.fromkeys(part.wood for part in file.job.parts))
    return [
        PartTotal(
            wood_name=_look(looks, part.wood).name,
            name=part.name or "part",
            count=part.count * max(len(part.pieces), 1),
            length=length_of(part.length, unit),
            width=length_of(part.width, unit),
            thickness=length_of(part.thickness, unit),
            pieces=tuple(length_of(piece, unit) for piece in part.pieces),
        )
        for part in sorted(file.job.parts, key=lambda part: woods.index(part.wood))
        if part.count > 0
    ]


def key_of(look: WoodLook) -> list[tuple[str, str]]:
    """What hatches mean, (words, drawing), on this wood."""
    return key_svgs(look)


def _look(looks: Mapping[str, WoodLook], wood: str) -> WoodLook:
    return looks.get(wood) or WoodLook(wood, (205, 170, 125), "")


class _Table:
    """Whole units back as lengths, parts by their names, and the drawings."""

    def __init__(self, file: CutFile, looks: Mapping[str, WoodLook], writes: str, on_paper: bool) -> None:
        self.file, self.looks, self.writes, self.on_paper = file, looks, writes, on_paper
        self.unit, self.rules = unit_of(file.unit), file.job.rules
        self.names: dict[tuple[str, int, int, tuple[int, ...]], list[str]] = {}
        for part in file.job.parts:
            lengths = tuple(sorted(part.pieces or (part.length,)))
            found = self.names.setdefault((part.wood, part.width, part.thickness, lengths), [])
            if part.name and part.name not in found:
                found.append(part.name)

    def long(self, units: int) -> Length:
        return length_of(units, self.unit)

    def board(self, cut: BoardCut, board: StockBoard) -> BoardLine:
        look = _look(self.looks, board.wood)
        laid = lay_out(cut, board, self.rules)
        drawn = self._layers_drawn(cut, board, look)
        layers = [
            self.layer(rough, layer, board.wood, drawn[layer.name])
            for rough in laid.rough
            for layer in rough.layers
            if layer.strips
        ]
        return BoardLine(
            mark=cut.board,
            wood=board.wood,
            wood_name=look.name,
            wood_mark=look.mark,
            plank=plank_svg(look, title=f"mark: {look.mark}" if self.on_paper else "", mark=bool(look.mark)),
            width=self.long(board.width),
            length=self.long(board.length),
            drawings=self._drawings(board_marking_svg, cut, board, look),
            rough=tuple(self.rough(rough) for rough in laid.rough),
            layers=tuple(layers),
            offcuts=tuple(self.offcuts(cut.board)),
            bad=tuple((self.long(begin), self.long(end)) for begin, end in board.bad),
        )

    def _drawings(self, draw: Callable[..., str], cut: BoardCut, board: StockBoard, look: WoodLook) -> Drawings:
        given = cut, board, self.rules, self.unit, look
        if self.on_paper:
            return Drawings(draw(*given, writes=self.writes, room=PAPER))
        return Drawings(*(draw(*given, writes=self.writes, room=room) for room in (SCREEN, PHONE)))

    def _layers_drawn(self, cut: BoardCut, board: StockBoard, look: WoodLook) -> dict[str, Drawings]:
        def drawn(room) -> list[LayerDrawn]:
            return layer_marking_svgs(cut, board, self.rules, self.unit, look, writes=self.writes, room=room)

        if self.on_paper:
            return {one.name: Drawings(one.svg) for one in drawn(PAPER)}
        pairs = zip(drawn(SCREEN), drawn(PHONE), strict=True)
        return {one.name: Drawings(one.svg, other.svg) for one, other in pairs}

    def rough(self, rough: RoughLaid) -> RoughLine:
        becomes = "" if rough.ripped else "back to the rack" if rough.kept else "left over"
        front, long = rough.box.x, rough.box.long
        return RoughLine(rough.name, self.long(front), self.long(front + long), self.long(long), becomes)

    def layer(self, rough: RoughLaid, layer: Layer, wood: str, drawings: Drawings) -> LayerLine:
        return LayerLine(
            name=layer.name,
            length=self.long(rough.box.long),
            thickness=self.long(layer.thickness),
            drawings=drawings,
            strips=tuple(self.strips(group, layer.thickness, wood) for group in layer.groups),
            rest=self.long(layer.rest.wide) if layer.rest else None,
            rest_kept=layer.rest_kept,
        )

    def strips(self, group: Sequence[StripLaid], thickness: int, wood: str) -> StripLine:
        first = group[0]
        width = first.box.wide - self.rules.over_width
        section = (thickness, width) if self.file.plan and wood in self.file.plan.on_edge else (width, thickness)
        return StripLine(
            names=tuple(strip.name for strip in group),
            shown=names_of(group),
            width=self.long(first.box.wide),
            parts=tuple(
                PartsLine(
                    run.count,
                    tuple(self.long(piece) for piece in run.pieces),
                    self._called((wood, *section), run.pieces),
                )
                for run in first.runs
            ),
            left=self.long(first.tail),
            kept=first.kept,
        )

    def _called(self, section: tuple[str, int, int], pieces: Iterable[int]) -> str:
        """The names of all parts of this size, for a strip does not tell them apart. Pieces cut next to one another
        are one part, and not the pieces alike that are cut singly."""
        lengths = tuple(sorted(piece - self.rules.over_length for piece in pieces))
        return " or ".join(self.names.get((*section, lengths), ())) or "part"

    def offcuts(self, mark: str) -> Iterable[OffcutLine]:
        assert self.file.plan is not None
        for one in self.file.plan.offcuts:
            if one.board == mark:
                yield OffcutLine(
                    rough_name(mark, one.rough + 1),
                    OFFCUTS.get(one.kind, one.kind),
                    self.long(one.width),
                    self.long(one.length),
                )
