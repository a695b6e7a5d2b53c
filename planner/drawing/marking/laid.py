"""A board as its cuts lie on it: every rough length, strip, part, kerf and rest as a box, in the plan's whole units.

Along the board from the end the tape is hooked on, across it from its straight edge, along which the first strip lies.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.cutting.plan import BoardCut, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import offcuts_of, strip_head
from planner.cutting.setups.names import layer_name, rough_name, strip_name


@dataclass(frozen=True, slots=True)
class Box:
    """From (``x``, ``y``), ``long`` along the board and ``wide`` across it."""

    x: int
    y: int
    long: int
    wide: int

    @property
    def end(self) -> int:
        return self.x + self.long


@dataclass(frozen=True, slots=True)
class Run:
    """``count`` parts alike next to one another, each crosscut into ``pieces`` (mostly one) with a kerf between."""

    x: int
    long: int
    count: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StripLaid:
    """A strip; ``kerfs`` are where each crosscut of it begins. ``head`` is the snipe taken off its front, ``tail``
    what is left behind the last cut, of which ``grip`` is held and never cut; ``kept`` where the tail goes back."""

    name: str
    number: int
    box: Box
    runs: tuple[Run, ...]
    kerfs: tuple[int, ...]
    head: int
    tail: int
    grip: int
    kept: bool

    @property
    def alike(self) -> tuple[object, ...]:
        """Equal for strips that are ripped and cut alike."""
        return self.box.x, self.box.wide, self.runs, self.kept

    @property
    def parts(self) -> int:
        return sum(run.count * len(run.pieces) for run in self.runs)


@dataclass(frozen=True, slots=True)
class Layer:
    """A rough length's face that is ripped; ``rest`` what is left beside its strips, ``rest_kept`` where that goes
    back. Without strips the whole layer does, or is waste."""

    name: str
    thickness: int
    strips: tuple[StripLaid, ...]
    rest: Box | None
    rest_kept: bool

    @property
    def groups(self) -> tuple[tuple[StripLaid, ...], ...]:
        """Strips next to one another that are cut alike, together."""
        found: list[list[StripLaid]] = []
        for strip in self.strips:
            if found and found[-1][0].alike == strip.alike:
                found[-1].append(strip)
            else:
                found.append([strip])
        return tuple(map(tuple, found))


@dataclass(frozen=True, slots=True)
class RoughLaid:
    """A rough length: one layer, or two where it is resawn. ``kept`` where it goes back whole."""

    name: str
    box: Box
    layers: tuple[Layer, ...]
    kept: bool

    @property
    def ripped(self) -> bool:
        return any(layer.strips for layer in self.layers)


@dataclass(frozen=True, slots=True)
class BoardLaid:
    """A board; ``kerfs`` are the boxes the crosscut blade takes, ``waste`` what falls between and beside, ``bad`` what
    is avoided."""

    name: str
    box: Box
    rough: tuple[RoughLaid, ...]
    kerfs: tuple[Box, ...]
    waste: tuple[Box, ...]
    bad: tuple[Box, ...]

    @property
    def marks(self) -> tuple[int, ...]:
        """Where the pencil marks are, from the hooked end: the front of a rough length wherever a cut of its own frees
        it, and the end of each; the blade runs on the far side of an end, on the near side of a front."""
        found = []
        last = -1
        for rough in self.rough:
            if rough.box.x and rough.box.x - last > self._kerf:
                found.append(rough.box.x)
            if rough.box.end < self.box.long:
                found.append(rough.box.end)
            last = rough.box.end
        return tuple(found)

    @property
    def _kerf(self) -> int:
        return max((kerf.long for kerf in self.kerfs), default=0)


def lay_out(cut: BoardCut, board: StockBoard, rules: Rules) -> BoardLaid:
    """Where everything of a board's cuts lies. The plan is taken to be sound (``planner.cutting.plan.faults_of``)."""
    kept = Counter((one.rough, one.kind, one.width, one.length) for one in offcuts_of(cut, board, rules))
    whole = Box(0, 0, board.length, board.width)
    rough = tuple(_rough(cut.board, n, one, board, rules, kept) for n, one in enumerate(cut.rough))
    kerfs, waste = _between(rough, whole, rules.crosscut_kerf)
    bad = tuple(
        Box(at, 0, min(end, board.length) - at, board.width) for at, end in board.bad if at < min(end, board.length)
    )
    return BoardLaid(cut.board, whole, rough, tuple(kerfs), tuple(waste), bad)


_Kept = Counter[tuple[int, str, int, int]]


def _took(kept: _Kept, key: tuple[int, str, int, int]) -> bool:
    """Whether such an offcut is kept, taking it from those still to be found."""
    there = kept[key] > 0
    kept[key] -= there
    return there


def _rough(board: str, n: int, rough: RoughCut, stock: StockBoard, rules: Rules, kept: _Kept) -> RoughLaid:
    box = Box(rough.at, 0, rough.length, stock.width)
    across = stock.width - 2 * rules.edge_trim
    name = rough_name(board, n + 1)
    if not rough.strips and not rough.resawn:
        return RoughLaid(name, box, (), _took(kept, (n, "end", across, rough.length)))
    layers = [_layer(board, n, name, rough, rough.strips, 1, stock, rules, kept)]
    if rough.resawn:
        first = 1 + len(rough.strips)
        layers.append(_layer(board, n, layer_name(board, n + 1), rough, rough.under, first, stock, rules, kept))
    return RoughLaid(name, box, tuple(layers), False)


def _layer(
    board: str,
    n: int,
    name: str,
    rough: RoughCut,
    strips: Sequence[StripCut],
    first: int,
    stock: StockBoard,
    rules: Rules,
    kept: _Kept,
) -> Layer:
    y, far = rules.edge_trim, stock.width - rules.edge_trim
    if not strips:
        whole = Box(rough.at, y, rough.length, far - y)
        return Layer(name, rough.thickness, (), whole, _took(kept, (n, "layer", far - y, rough.length)))
    made = []
    for m, strip in enumerate(strips, first):
        wide = strip.width + rules.over_width
        box = Box(rough.at, y, rough.length, wide)
        made.append(_strip(strip_name(board, n + 1, m), m, box, strip, rules, n, kept))
        y += wide + rules.rip_kerf
    rest = Box(rough.at, y, rough.length, far - y) if y < far else None
    rest_kept = rest is not None and _took(kept, (n, "edge", rest.wide, rough.length))
    return Layer(name, rough.thickness, tuple(made), rest, rest_kept)


def _strip(name: str, number: int, box: Box, strip: StripCut, rules: Rules, n: int, kept: _Kept) -> StripLaid:
    head = strip_head(rules)
    kerfs = [box.x + rules.snipe] if head else []
    x = box.x + head
    runs = []
    for count, pieces in _in_order(strip, rules):
        begin = x
        for _ in range(count):
            for piece in pieces:
                x += piece
                if x < box.end:
                    kerfs.append(x)
                x += rules.crosscut_kerf
        runs.append(Run(begin, x - rules.crosscut_kerf - begin, count, pieces))
    tail = max(box.end - x, 0)
    back = tail > 0 and _took(kept, (n, "tail", box.wide, tail))
    grip = min(max(rules.grip, rules.snipe), tail)
    return StripLaid(name, number, box, tuple(runs), tuple(kerfs), rules.snipe, tail, grip, back)


def _in_order(strip: StripCut, rules: Rules) -> Iterator[tuple[int, tuple[int, ...]]]:
    """(count, lengths as crosscut) along the strip: of one length those cut apart again come first."""
    for size, count in strip.parts:
        for pieces, times in strip.pieces:
            lengths = tuple(piece + rules.over_length for piece in pieces)
            if sum(lengths) + rules.crosscut_kerf * (len(lengths) - 1) == size + rules.over_length and count >= times:
                yield times, lengths
                count -= times
        if count:
            yield count, (size + rules.over_length,)


def _between(rough: Sequence[RoughLaid], whole: Box, kerf: int) -> tuple[list[Box], list[Box]]:
    """What the blade takes between rough lengths and beside them, and what falls there."""
    kerfs, waste = [], []
    at = 0
    for one in (*rough, None):
        begin = one.box.x if one else whole.long
        if at and (width := min(kerf, begin - at)) > 0:
            kerfs.append(Box(at, 0, width, whole.wide))
            at += width
        if one and begin > at:
            width = min(kerf, begin - at)
            kerfs.append(Box(begin - width, 0, width, whole.wide))
            begin -= width
        if begin > at:
            waste.append(Box(at, 0, begin - at, whole.wide))
        at = one.box.end if one else at
    return kerfs, waste
