"""What a marking-out drawing says in words: sizes, runs, names, and the whole of it for whoever cannot see it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.drawing.marking.laid import BoardLaid, Layer, RoughLaid, Run, StripLaid
from planner.measures import Length, format_length

Says = Callable[[int], str]


@dataclass(frozen=True, slots=True)
class Writing:
    """Whole units written as the shop writes lengths, ``writes`` being "mm" or "in"."""

    unit: Length
    writes: str = "mm"

    def bare(self, units: int) -> str:
        """For a drawing: a fraction stands well away from the whole before it, lest 2 1/4 be read as 21/4."""
        return format_length(self.unit * units, self.writes, with_unit=False).replace(" ", "\u00a0\u00a0")

    def full(self, units: int) -> str:
        return format_length(self.unit * units, self.writes)

    def mm(self, units: int) -> float:
        return float((self.unit * units).mm)


def run_words(run: Run, bare: Says) -> str:
    """A run of parts as it is written on them.

    >>> run_words(Run(0, 100, 14, (19,)), str), run_words(Run(0, 100, 1, (54,)), str)
    ('14 × 19', '54')
    >>> run_words(Run(0, 100, 2, (54, 20)), str)
    '2 × (54 + 20)'
    """
    sizes = " + ".join(bare(piece) for piece in run.pieces)
    if run.count == 1:
        return sizes
    return f"{run.count} × ({sizes})" if len(run.pieces) > 1 else f"{run.count} × {sizes}"


def names_of(group: Sequence[StripLaid], *, short: bool = False) -> str:
    """A strip's name, or those of strips next to one another from the first to the last.

    "WAL12-2.3" and "WAL12-2.3 – 2.6"; in short "2.3" and "2.3 – 2.6", where the board's mark stands over it.
    """
    first, last = group[0], group[-1]
    if short:
        from_, to = (strip.name.rpartition("-")[2] for strip in (first, last))
        return from_ if first is last else f"{from_} – {to}"
    if first is last:
        return first.name
    return f"{first.name} – {last.name.rpartition('-')[2]}"


def widths_of(group: Sequence[StripLaid], bare: Says) -> str:
    width = bare(group[0].box.wide)
    return width if len(group) == 1 else f"{len(group)} × {width}"


def board_title(board: BoardLaid, wood: str, say: Writing) -> str:
    return f"{board.name}, {wood}, {say.bare(board.box.wide)} × {say.full(board.box.long)}: where it is cut"


def board_words(board: BoardLaid, say: Writing) -> str:
    """The board's cuts in sentences, from the hooked end."""
    told = ["The tape is hooked on the left end."]
    told += [f"Bad wood from {say.full(box.x)} to {say.full(box.end)}." for box in board.bad]
    for rough in board.rough:
        told.append(f"{rough.name} from {say.full(rough.box.x)} to {say.full(rough.box.end)}, {_becomes(rough)}.")
    return " ".join(told)


def _becomes(rough: RoughLaid) -> str:
    if not rough.ripped:
        return "kept whole as an offcut" if rough.kept else "left over"
    strips = sum(len(layer.strips) for layer in rough.layers)
    parts = sum(strip.parts for layer in rough.layers for strip in layer.strips)
    layers = " in two layers" if len(rough.layers) > 1 else ""
    return f"{_count(strips, 'strip')}{layers} with {_count(parts, 'part')}"


def layer_title(layer: Layer, rough: RoughLaid, wood: str, say: Writing) -> str:
    return f"{layer.name}, {wood}, {say.full(rough.box.long)} long: its strips and their parts"


def layer_words(layer: Layer, say: Writing) -> str:
    """Its strips in sentences, from the straight edge."""
    told = ["The straight edge is at the top."]
    for group in layer.groups:
        parts = ", ".join(run_words(run, say.bare) for run in group[0].runs) or "nothing"
        each = "each " if len(group) > 1 else ""
        tail = f", {say.full(group[0].tail)} left{' for the rack' if group[0].kept else ''}" if group[0].tail else ""
        told.append(f"{names_of(group)}: {each}{say.full(group[0].box.wide)} wide, {each}{parts}{tail}.")
    if layer.rest is not None:
        told.append(f"Beside them {say.full(layer.rest.wide)}, {'for the rack' if layer.rest_kept else 'left over'}.")
    return " ".join(told)


def _count(n: int, what: str) -> str:
    return f"{n} {what}{'' if n == 1 else 's'}"
