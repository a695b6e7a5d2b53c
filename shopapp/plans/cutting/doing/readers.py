"""What the pages at the bench show of a kept cut plan, in a fixed number of queries."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import StockMove, StockPiece
from shopapp.plans.cutting.pieces import what_changed
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutEntry, CutSheet
from shopapp.workshop.models import Workshop

from .actions import to_buy
from .balance import Moved, Share, moves_of, share_of, waiting_of
from .planning import BoardToCut, PartWanted, PlannedOffcut, RoughToCut, StripToCut, laid_out
from .standing import Standing, newest_sheet, standing_of

State = StockPiece.State


@dataclass(frozen=True)
class Strips:
    """Strips alike of a rough length."""

    count: int
    strip: StripToCut


@dataclass(frozen=True)
class RoughNow:
    """A rough length to tick, and the entry that ticked it."""

    rough: RoughToCut
    done: CutEntry | None
    strips: list[Strips]


@dataclass(frozen=True)
class BoardNow:
    """A board as it is now: ``out`` where it was taken for the key. ``back`` is what came back of it, ``waiting`` what
    is to be brought back yet."""

    board: BoardToCut
    wood: WoodSeen
    piece: StockPiece | None
    out: bool
    reserved: bool
    rough: list[RoughNow]
    back: list[StockMove]
    waiting: list[PlannedOffcut]

    @property
    def cut(self) -> int:
        return sum(one.done is not None for one in self.rough)

    @property
    def is_done(self) -> bool:
        return self.cut == len(self.rough)


@dataclass(frozen=True)
class PartNow:
    part: PartWanted
    wood: WoodSeen
    made: int


@dataclass(frozen=True)
class WoodBalance:
    wood: WoodSeen
    share: Share


@dataclass(frozen=True)
class Doing:
    """Everything the page at the bench says of a sheet. ``changed`` tells by mark of boards that are not out what is
    another than it was when the sheet was kept."""

    sheet: CutSheet
    standing: Standing
    boards: list[BoardNow]
    parts: list[PartNow]
    changed: Mapping[str, str]
    balance: list[WoodBalance]
    total: Share
    moved: Moved
    story: list[CutEntry]

    @property
    def boards_done(self) -> int:
        return sum(one.is_done for one in self.boards)

    @property
    def cuts(self) -> int:
        return sum(len(one.rough) for one in self.boards)

    @property
    def cuts_done(self) -> int:
        return sum(one.cut for one in self.boards)

    @property
    def made(self) -> int:
        return sum(one.made for one in self.parts)

    @property
    def wanted(self) -> int:
        return sum(one.part.count for one in self.parts)

    @property
    def undoable(self) -> list[CutEntry]:
        """What the story offers to undo; a cut is undone by pressing its tick again."""
        return [*self.standing.starts, *self.standing.returns]

    @property
    def to_take(self) -> list[BoardNow]:
        return [one for one in self.boards if not one.out]

    @property
    def waiting(self) -> int:
        return sum(len(one.waiting) for one in self.boards)

    @property
    def is_done(self) -> bool:
        return self.boards_done == len(self.boards)


def doing_of(cutting: Cutting, workshop: Workshop) -> Doing | None:
    """None where no cut plan is kept that counts. Eight queries."""
    sheet = newest_sheet(cutting.key, cutting.plan.pk)
    if sheet is None:
        return None
    laid, standing, seen = laid_out(sheet.form), standing_of(sheet), woods_seen()
    numbers = [one["pk"] for one in sheet.pieces]
    pieces = {one.mark: one for one in StockPiece.objects.filter(pk__in=numbers).select_related("demand")}
    outs = {mark: one for mark, one in pieces.items() if _is_out(one, cutting.key)}
    moved = moves_of(list(outs.values()))
    boards, shares = [], []
    for board in laid.boards:
        piece, out = pieces.get(board.mark), board.mark in outs
        back = list(moved.back.get(piece.pk, ())) if out else []
        boards.append(_now(board, seen[board.wood], piece, out, cutting.key, back, standing))
        if out:
            shares.append((board.wood, share_of(board, piece, back, standing, workshop.resaw_kerf)))
    return Doing(
        sheet=sheet,
        standing=standing,
        boards=boards,
        parts=_parts(laid.parts, boards, seen),
        changed=to_buy(sheet)
        | what_changed([one for one in sheet.pieces if one["mark"] not in outs], cutting.key, workshop.unit),
        balance=[
            WoodBalance(seen[wood], sum((share for its, share in shares if its == wood), Share()))
            for wood in dict.fromkeys(wood for wood, _ in shares)
        ],
        total=sum((share for _, share in shares), Share()),
        moved=moved,
        story=list(CutEntry.objects.filter(sheet=sheet).select_related("who", "undone_by")),
    )


def _is_out(piece: StockPiece, key: str) -> bool:
    return piece.state == State.TAKEN and piece.demand is not None and piece.demand.key == key


def _now(
    board: BoardToCut, wood: WoodSeen, piece: StockPiece | None, out: bool, key: str, back: list[StockMove],
    standing: Standing,
) -> BoardNow:  # fmt: skip
    rough = [RoughNow(one, standing.cuts.get((board.mark, one.number)), _alike(one)) for one in board.ticks]
    reserved = piece is not None and piece.state == State.HERE and piece.demand is not None and piece.demand.key == key
    return BoardNow(board, wood, piece, out, reserved, rough, back, waiting_of(board, standing) if out else [])


def _alike(rough: RoughToCut) -> list[Strips]:
    counts: dict[tuple, list[StripToCut]] = {}
    for strip in rough.strips:
        counts.setdefault((strip.width, strip.parts), []).append(strip)
    return [Strips(len(strips), strips[0]) for strips in counts.values()]


def _parts(parts: tuple[PartWanted, ...], boards: list[BoardNow], seen: Mapping[str, WoodSeen]) -> list[PartNow]:
    made: Counter = Counter()
    for board in boards:
        for one in board.rough:
            if one.done is not None:
                made.update(dict(one.rough.made))
    return [PartNow(part, seen[part.wood], min(made[part.key], part.count)) for part in parts]
