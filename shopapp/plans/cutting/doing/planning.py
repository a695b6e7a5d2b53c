"""The door to the planner for a cut plan at the bench: a sheet's form in, boards with their cuts and offcuts out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from planner.cutting.fromshop import length_of, unit_of
from planner.cutting.plan import CutFile, CutJob, CutPlan, Offcut, RoughCut, Rules, StripCut, from_json
from planner.cutting.plan.worth import settle
from planner.cutting.setups.names import layer_name, rough_name, strip_name
from planner.measures import Length, volume_mm3

__all__ = [
    "BoardToCut",
    "Laid",
    "PartWanted",
    "PlannedOffcut",
    "RoughToCut",
    "StripToCut",
    "boards_of",
    "laid_out",
    "planned_offcuts",
    "rough_name",
]

# A part on a plan: wood, width, thickness, length in the plan's units.
Made = tuple[str, int, int, int]


@dataclass(frozen=True)
class StripToCut:
    """A strip as the saw is set for it: ``width`` as it is ripped, wider than its parts are after gauging, and how many
    parts of which pieces (mostly one) are crosscut from it."""

    name: str
    width: Length
    parts: tuple[tuple[tuple[Length, ...], int], ...]

    @property
    def pieces(self) -> int:
        return sum(len(lengths) * count for lengths, count in self.parts)


@dataclass(frozen=True)
class PlannedOffcut:
    """What goes back by the plan: ``number`` tells apart several of one kind of a rough length. ``milled`` where it
    is as thick as its rough length is milled to; else it is as thick as the board was, or half of that for a layer,
    which is as the band saw left it."""

    rough: int
    kind: str
    number: int
    width: Length
    length: Length
    milled: Length | None

    @property
    def ref(self) -> str:
        return f"{self.rough}-{self.kind}-{self.number}"


@dataclass(frozen=True)
class RoughToCut:
    """A rough length, counted from 1 from the end the tape is hooked on. Without strips it is kept whole: nothing is
    to be ticked of it."""

    number: int
    name: str
    at: Length
    length: Length
    milled: Length
    strips: tuple[StripToCut, ...]
    under: str
    made: tuple[tuple[Made, int], ...]
    parts_mm3: Fraction

    @property
    def pieces(self) -> int:
        return sum(strip.pieces for strip in self.strips)


@dataclass(frozen=True)
class BoardToCut:
    """A board with what is to be ticked of it, and the offcuts the plan keeps of it."""

    mark: str
    wood: str
    rough: tuple[RoughToCut, ...]
    offcuts: tuple[PlannedOffcut, ...]

    @property
    def ticks(self) -> tuple[RoughToCut, ...]:
        return tuple(one for one in self.rough if one.strips)


@dataclass(frozen=True)
class PartWanted:
    """Parts alike that are wanted, spares among them, and what they are called."""

    key: Made
    name: str
    wood: str
    width: Length
    thickness: Length
    length: Length
    count: int


@dataclass(frozen=True)
class Laid:
    """A kept cut plan as it is worked through."""

    boards: tuple[BoardToCut, ...]
    parts: tuple[PartWanted, ...]

    def board(self, mark: str) -> BoardToCut | None:
        return next((one for one in self.boards if one.mark == mark), None)


@lru_cache(maxsize=16)
def laid_out(form: str) -> Laid:
    """A sheet's form opened. Raises CutFormError for a text that is none."""
    file = from_json(form)
    unit, job, plan = unit_of(file.unit), file.job, file.plan
    if plan is None:
        return Laid((), ())
    woods = {board.name: board.wood for board in job.stock}
    kept = planned_offcuts(file)
    boards = [
        BoardToCut(
            cut.board,
            woods[cut.board],
            tuple(
                _rough(cut.board, woods[cut.board], number, rough, job.rules, unit, woods[cut.board] in plan.on_edge)
                for number, rough in enumerate(cut.rough, start=1)
            ),
            tuple(_offcuts(cut.board, plan, kept, unit)),
        )
        for cut in plan.boards
    ]
    return Laid(tuple(boards), tuple(_wanted(job, unit)))


def planned_offcuts(file: CutFile) -> tuple[Offcut, ...]:
    """The offcuts worth keeping of the plan in a file; a board that was counted at nothing leaves them all the same."""
    assert file.plan is not None
    rules = file.job.rules
    stock = {board.name: replace(board, worth=max(board.worth, rules.worth_area)) for board in file.job.stock}
    return settle(file.plan.boards, stock, rules).offcuts


def boards_of(form: str) -> tuple[str, ...]:
    """The marks of the boards a sheet cuts."""
    return tuple(board.mark for board in laid_out(form).boards)


def _rough(
    board: str, wood: str, number: int, rough: RoughCut, rules: Rules, unit: Length, on_edge: bool
) -> RoughToCut:
    strips, made, units = [], Counter[Made](), 0
    for place, strip in enumerate((*rough.strips, *rough.under), start=1):
        width, thick = (rough.thickness, strip.width) if on_edge else (strip.width, rough.thickness)
        cut = _crosscut(strip, rules)
        for lengths, count in cut:
            for length in lengths:
                made[wood, width, thick, length] += count
                units += length * count * strip.width * rough.thickness
        parts = tuple(
            (tuple(length_of(length + rules.over_length, unit) for length in lengths), count) for lengths, count in cut
        )
        ripped = length_of(strip.width + rules.over_width, unit)
        strips.append(StripToCut(strip_name(board, number, place), ripped, parts))
    return RoughToCut(
        number=number,
        name=rough_name(board, number),
        at=length_of(rough.at, unit),
        length=length_of(rough.length, unit),
        milled=length_of(rough.thickness, unit),
        strips=tuple(strips),
        under=layer_name(board, number) if rough.resawn else "",
        made=tuple(made.items()),
        parts_mm3=volume_mm3(unit, unit, unit) * units,
    )


def _crosscut(strip: StripCut, rules: Rules) -> tuple[tuple[tuple[int, ...], int], ...]:
    """How often which pieces are cut next to one another, in the strip's order; a part that is not cut apart is one
    piece. Of parts of one length, those that are cut apart come first."""
    between = rules.crosscut_kerf + rules.over_length
    apart: dict[int, list[tuple[tuple[int, ...], int]]] = {}
    for lengths, times in strip.pieces:
        apart.setdefault(sum(lengths) + between * (len(lengths) - 1), []).append((lengths, times))
    found: list[tuple[tuple[int, ...], int]] = []
    for length, count in strip.parts:
        of_it = apart.get(length, [])
        found += of_it
        if whole := count - sum(times for _, times in of_it):
            found.append(((length,), whole))
    return tuple(found)


def _offcuts(board: str, plan: CutPlan, kept: Iterable[Offcut], unit: Length) -> Iterable[PlannedOffcut]:
    rough = next(cut.rough for cut in plan.boards if cut.board == board)
    seen: Counter[tuple[int, str]] = Counter()
    for one in kept:
        if one.board != board:
            continue
        seen[one.rough, one.kind] += 1
        whole = one.kind in ("end", "layer")
        yield PlannedOffcut(
            rough=one.rough + 1,
            kind=one.kind,
            number=seen[one.rough, one.kind],
            width=length_of(one.width, unit),
            length=length_of(one.length, unit),
            milled=None if whole else length_of(rough[one.rough].thickness, unit),
        )


def _wanted(job: CutJob, unit: Length) -> Iterable[PartWanted]:
    """Parts of one size are one line; which of them a strip's piece is, nobody can tell."""
    counts: Counter[Made] = Counter()
    names: dict[Made, list[str]] = {}
    # Pieces cut next to one another come after those cut singly, whose name says more of the size.
    for part in sorted(job.parts, key=lambda part: bool(part.pieces)):
        for length in part.pieces or (part.length,):
            key = (part.wood, part.width, part.thickness, length)
            counts[key] += part.count
            called = names.setdefault(key, [])
            if part.name not in called and not (part.pieces and called):
                called.append(part.name)
    for key, count in counts.items():
        if count:
            width, thickness, length = (length_of(size, unit) for size in key[1:])
            yield PartWanted(key, " or ".join(names[key]), key[0], width, thickness, length, count)
