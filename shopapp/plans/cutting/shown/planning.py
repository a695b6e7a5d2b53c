"""The text of a cut plan as amounts: what it costs, the boards it opens, what goes back, what becomes of the wood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.cutting.fromshop import costs_of, length_of, money_of, unit_of, units_down
from planner.cutting.plan import CutFile, Offcut, Part, StockBoard, from_json
from planner.cutting.plan.reason import floor_reason
from planner.cutting.setups import rough_name
from planner.measures import Length, round_half_up
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

from ..planning import piece_of, wishes_of

_OFFCUTS = {"end": "end of the board", "edge": "beside the strips", "tail": "end of a strip", "layer": "second layer"}


@dataclass(frozen=True)
class BoardSeen:
    """``to_buy`` is a board that is imagined: it has no mark yet."""

    name: str
    wood_name: str
    width: Length
    length: Length
    cost: Decimal
    offcut: bool
    to_buy: bool


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
    is how much of the floor the searched cost is above it at the most; None until every wood has a floor. ``reasons``
    say, wood by wood, why none costs less."""

    woods: list[WoodCut]
    cost: Decimal
    searched: Decimal
    floor: Decimal | None
    reasons: list[str]
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
    woods = [
        WoodCut(
            wood=wood,
            name=names.get(wood, wood),
            on_edge=wood in file.plan.on_edge,
            boards=[_board(shelf[cut.board], names, unit) for cut in file.plan.boards if shelf[cut.board].wood == wood],
            free=sum(board.wood == wood for board in file.job.stock),
            pieces=sum(part.count * max(len(part.pieces), 1) for part in file.job.parts if part.wood == wood),
            offcuts=[_offcut(one, unit) for one in file.plan.offcuts if shelf[one.board].wood == wood],
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
        reasons=_reasons(file, names, workshop) if whole else [],
        shares=_shares(file, thick),
    )


def _reasons(file: CutFile, names: Mapping[str, str], workshop: Workshop) -> list[str]:
    """Why no plan costs less, by the maker's names of woods and in their currency."""

    def money(units: int) -> str:
        return f"{workshop.currency_symbol}\u00a0{round_half_up(money_of(units), workshop.currency_exponent)}"

    return [floor_reason(replace(one, wood=names.get(one.wood, one.wood)), file.job, money) for one in file.plan.floors]


def _board(board: StockBoard, names: Mapping[str, str], unit: Length) -> BoardSeen:
    return BoardSeen(
        name=board.name,
        wood_name=names.get(board.wood, board.wood),
        width=length_of(board.width, unit),
        length=length_of(board.length, unit),
        cost=money_of(board.cost),
        offcut=board.offcut,
        to_buy=" " in board.name,
    )


def _offcut(one: Offcut, unit: Length) -> OffcutSeen:
    return OffcutSeen(
        off=rough_name(one.board, one.rough + 1),
        words=_OFFCUTS.get(one.kind, one.kind),
        width=length_of(one.width, unit),
        length=length_of(one.length, unit),
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
