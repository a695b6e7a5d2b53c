"""The text of a cut plan as lengths and names: what each board gives, what goes back, and what becomes of the wood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.cutting.fromshop import costs_of, length_of, money_of, unit_of, units_down
from planner.cutting.plan import BoardCut, CutFile, Offcut, Part, RoughCut, StockBoard, StripCut, from_json
from planner.cutting.setups import layer_name, rough_name, strip_name
from planner.measures import Length, round_half_up
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

from ..planning import piece_of, wishes_of

_OFFCUTS = {"end": "end of the board", "edge": "beside the strips", "tail": "end of a strip", "layer": "second layer"}


@dataclass(frozen=True)
class PartsSeen:
    """So many parts alike of a strip."""

    count: int
    name: str
    length: Length


@dataclass(frozen=True)
class StripSeen:
    name: str
    width: Length
    parts: list[PartsSeen]


@dataclass(frozen=True)
class RoughSeen:
    """A rough length; without strips it goes back to the rack whole. ``under`` is the second layer, where it is
    resawn."""

    name: str
    at: Length
    length: Length
    thickness: Length
    strips: list[StripSeen]
    under_name: str
    under: list[StripSeen]

    @property
    def kept(self) -> bool:
        return not self.strips


@dataclass(frozen=True)
class BoardSeen:
    """``to_buy`` is a board that is imagined: it has no mark yet."""

    name: str
    width: Length
    length: Length
    cost: Decimal
    rough: list[RoughSeen]
    offcut: bool
    to_buy: bool

    @property
    def strips(self) -> int:
        return sum(len(one.strips) + len(one.under) for one in self.rough)


@dataclass(frozen=True)
class OffcutSeen:
    """A piece that goes back: ``off`` is the rough length it comes off."""

    off: str
    words: str
    width: Length
    length: Length
    credit: Decimal


@dataclass(frozen=True)
class WoodCut:
    """One wood of the plan; ``free`` are the boards of it there were to choose from."""

    wood: str
    name: str
    on_edge: bool
    boards: list[BoardSeen]
    free: int
    pieces: int
    offcuts: list[OffcutSeen]
    floor: Decimal | None


@dataclass(frozen=True)
class Shares:
    """What becomes of the wood of the boards opened, by volume."""

    parts: Fraction
    offcuts: Fraction

    @property
    def whole(self) -> tuple[int, int, int]:
        """Parts, offcuts and what is lost in whole hundredths that add up."""
        parts, offcuts = (int(round_half_up(share * 100, 0)) for share in (self.parts, self.offcuts))
        return parts, offcuts, 100 - parts - offcuts

    @property
    def bar_lost(self) -> int:
        """Where what is lost begins on the bar."""
        return self.whole[0] + self.whole[1]


@dataclass(frozen=True)
class PlanSeen:
    """``cost`` is by the book; ``searched`` what the search went by, less where offcuts counted at nothing. ``gap``
    is how much of the floor the searched cost is above it at the most; None until every wood has a floor."""

    woods: list[WoodCut]
    cost: Decimal
    searched: Decimal
    floor: Decimal | None
    shares: Shares

    @property
    def boards(self) -> int:
        return sum(len(wood.boards) for wood in self.woods)

    @property
    def offcuts(self) -> int:
        return sum(len(wood.offcuts) for wood in self.woods)

    @property
    def pieces(self) -> int:
        return sum(wood.pieces for wood in self.woods)

    @property
    def gap(self) -> Fraction | None:
        if self.floor is None:
            return None
        if self.searched <= self.floor:
            return Fraction(0)
        return Fraction(self.searched - self.floor) / Fraction(self.floor) if self.floor > 0 else None

    @property
    def gap_is_tiny(self) -> bool:
        """More than nothing, and too little for the decimals that are shown."""
        return self.gap is not None and 0 < self.gap < Fraction(1, 10000)

    @property
    def to_buy(self) -> list[BoardSeen]:
        return [board for wood in self.woods for board in wood.boards if board.to_buy]


def seen(
    text: str, names: Mapping[str, str], pieces: Sequence[Mapping], wishes: Mapping, workshop: Workshop
) -> PlanSeen:
    """The plan of ``text`` (``planner.cutting.plan.form``); ``names`` are the woods by their ids, ``pieces`` those of
    the rack it may cut, as they were seen."""
    file = from_json(text)
    unit = unit_of(file.unit)
    shelf = {board.name: board for board in file.job.stock}
    asked, rack = wishes_of(wishes), [piece_of(one) for one in pieces]
    thick = {piece.mark: units_down(piece.thickness, unit) for piece in rack}
    thick |= {f"to buy {n}": units_down(piece.thickness, unit) for n, piece in enumerate(asked.bought, 1)}
    there = {board.board for board in file.plan.boards}
    costs = (
        costs_of(
            file.plan,
            file,
            [piece for piece in rack if piece.mark in shelf],
            shop_of(workshop),
            asked,
            unit,
            workshop.currency_exponent,
        )
        if asked.offcuts_first and there <= thick.keys()
        else None
    )
    floors = {one.wood: one.floor for one in file.plan.floors}
    wanted = dict.fromkeys(part.wood for part in file.job.parts if part.count > 0)
    look = _Look(file, unit)
    woods = [
        WoodCut(
            wood=wood,
            name=names.get(wood, wood),
            on_edge=wood in file.plan.on_edge,
            boards=[look.board(cut, shelf[cut.board]) for cut in file.plan.boards if shelf[cut.board].wood == wood],
            free=sum(board.wood == wood for board in file.job.stock),
            pieces=sum(part.count * max(len(part.pieces), 1) for part in file.job.parts if part.wood == wood),
            offcuts=[look.offcut(one) for one in file.plan.offcuts if shelf[one.board].wood == wood],
            floor=money_of(floors[wood]) if wood in floors else None,
        )
        for wood in wanted
    ]
    whole = wanted.keys() <= floors.keys()
    return PlanSeen(
        woods=woods,
        cost=costs.cost if costs else money_of(file.plan.cost),
        searched=money_of(file.plan.cost),
        floor=money_of(file.plan.floor) if whole else None,
        shares=_shares(file, thick),
    )


class _Look:
    """Whole units back as lengths, and parts by their names."""

    def __init__(self, file: CutFile, unit: Length) -> None:
        self.file, self.unit = file, unit
        self.names: dict[tuple[str, int, int, int], str] = {}
        for part in file.job.parts:
            self.names.setdefault((part.wood, part.width, part.thickness, part.length), part.name)

    def long(self, units: int) -> Length:
        return length_of(units, self.unit)

    def board(self, cut: BoardCut, board: StockBoard) -> BoardSeen:
        rough = [self.rough(cut.board, n, one, board.wood) for n, one in enumerate(cut.rough, 1)]
        return BoardSeen(
            name=cut.board,
            width=self.long(board.width),
            length=self.long(board.length),
            cost=money_of(board.cost),
            rough=rough,
            offcut=board.offcut,
            to_buy=" " in cut.board,
        )

    def rough(self, board: str, n: int, rough: RoughCut, wood: str) -> RoughSeen:
        first = [self.strip(board, n, m, one, rough, wood) for m, one in enumerate(rough.strips, 1)]
        under = [self.strip(board, n, m, one, rough, wood) for m, one in enumerate(rough.under, 1 + len(first))]
        return RoughSeen(
            name=rough_name(board, n),
            at=self.long(rough.at),
            length=self.long(rough.length),
            thickness=self.long(rough.thickness),
            strips=first,
            under_name=layer_name(board, n) if rough.resawn else "",
            under=under,
        )

    def strip(self, board: str, n: int, m: int, strip: StripCut, rough: RoughCut, wood: str) -> StripSeen:
        section = (rough.thickness, strip.width) if wood in self.file.plan.on_edge else (strip.width, rough.thickness)
        return StripSeen(
            name=strip_name(board, n, m),
            width=self.long(strip.width + self.file.job.rules.over_width),
            parts=[
                PartsSeen(count, self.names.get((wood, *section, length), "part"), self.long(length))
                for length, count in strip.parts
            ],
        )

    def offcut(self, one: Offcut) -> OffcutSeen:
        return OffcutSeen(
            off=rough_name(one.board, one.rough + 1),
            words=_OFFCUTS.get(one.kind, one.kind),
            width=self.long(one.width),
            length=self.long(one.length),
            credit=money_of(one.credit),
        )


def _shares(file: CutFile, thick: Mapping[str, int]) -> Shares:
    """Parts and offcuts kept as shares of the volume of the boards that are opened; offcuts off a rough length are as
    thick as it is milled."""
    shelf = {board.name: board for board in file.job.stock}
    whole = sum(shelf[cut.board].width * shelf[cut.board].length * thick.get(cut.board, 0) for cut in file.plan.boards)
    if not whole:
        return Shares(Fraction(0), Fraction(0))
    milled = {(cut.board, i): rough.thickness for cut in file.plan.boards for i, rough in enumerate(cut.rough)}
    back = sum(
        one.width * one.length * (milled[one.board, one.rough] or thick.get(one.board, 0)) for one in file.plan.offcuts
    )
    parts = sum(_volume(part) * part.count for part in file.job.parts)
    return Shares(Fraction(parts, whole), Fraction(back, whole))


def _volume(part: Part) -> int:
    return part.width * part.thickness * (sum(part.pieces) or part.length)
