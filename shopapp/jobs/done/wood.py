"""The wood of a job by the rack's book: needed, taken, back, in the boards, gone; and the lots it came from."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import board_feet, volume_mm3
from shopapp.jobs.models import Job
from shopapp.jobs.needs import feet_in, needs_of
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import Delivery, StockPiece
from shopapp.plans.cutting.doing.balance import Moved, moves_of, size_came

from . import sums

_NOUGHT = Fraction(0)


@dataclass(frozen=True)
class PieceOut:
    """A piece that was taken: board feet of it when it was, and of what came back, each with its mark.
    ``lies`` where its cut plan has nothing ticked of it and nothing came back: it is out and uncut."""

    piece: StockPiece
    taken: Fraction
    back: list[tuple[str, Fraction]]
    worth: Decimal
    lies: bool = False

    @property
    def came_back(self) -> Fraction:
        return sum((feet for _, feet in self.back), _NOUGHT)


@dataclass(frozen=True)
class WoodDone:
    """One wood in board feet; ``need`` and ``stays`` are the plan's, None of a wood it does not name; of a job that was
    called off nothing stays in a board. ``taken`` is ``back``, what ``lies`` uncut, what ``stays`` and what is
    ``gone``."""

    wood: WoodSeen
    need: Fraction | None
    stays: Fraction | None
    pieces: list[PieceOut]

    @property
    def taken(self) -> Fraction:
        return sum((one.taken for one in self.pieces), _NOUGHT)

    @property
    def back(self) -> Fraction:
        return sum((one.came_back for one in self.pieces), _NOUGHT)

    @property
    def lies(self) -> Fraction:
        return sum((one.taken for one in self.pieces if one.lies), _NOUGHT)

    @property
    def used(self) -> Fraction:
        return self.taken - self.back - self.lies

    @property
    def gone(self) -> Fraction | None:
        """None where more stays in the boards than was taken: some of it came from elsewhere."""
        gone = self.used - (self.stays or _NOUGHT)
        return gone if gone >= 0 else None

    @property
    def worth(self) -> Decimal:
        return sum((one.worth for one in self.pieces), Decimal(0))

    @property
    def taken_figure(self) -> dict:
        return sums.wood(
            self.taken, "pieces taken, each as it measured", [(p.piece.mark, p.taken) for p in self.pieces]
        )

    @property
    def back_figure(self) -> dict:
        back = [one for piece in self.pieces for one in piece.back]
        return sums.wood(self.back, "what came back of them, as it was measured", back)

    @property
    def gone_figure(self) -> dict | None:
        if self.gone is None:
            return None
        rule = "taken − back − out and uncut − what stays in the boards by the plan: kerfs, shavings, spares, waste"
        terms = [("Taken", self.taken), ("Back", self.back), ("Out and uncut", self.lies)]
        terms += [("Stays in the boards", self.stays or _NOUGHT)]
        return sums.wood(self.gone, rule, terms)


def pieces_out(job: Job) -> tuple[list[StockPiece], Moved]:
    """What was taken for a job and is not whole on the rack again, with its lot. Three queries."""
    pieces = StockPiece.objects.filter(demand__key=job.key, state=StockPiece.State.TAKEN)
    found = list(pieces.select_related("lot__delivery__supplier").order_by("wood", "mark"))
    return found, moves_of(found)


def woods_done(
    job: Job, pieces: Sequence[StockPiece], moved: Moved, seen: Mapping[str, WoodSeen], uncut: Collection[str] = ()
) -> list[WoodDone]:
    """Woods of the plan first, in its order; ``uncut`` are marks of boards of which nothing was ticked. No query."""
    needs = needs_of(job.plan)
    makes = job.plan is not None and job.state != Job.State.CALLED_OFF
    stays = {one["wood"]: feet_in(one["net"]) for one in job.plan.record["woods"]} if makes else {}
    by_wood: dict[str, list[PieceOut]] = {wood: [] for wood in needs}
    for piece in pieces:
        by_wood.setdefault(piece.wood, []).append(_out(piece, moved, uncut))
    told = by_wood.items() if job.state != Job.State.CALLED_OFF else [one for one in by_wood.items() if one[1]]
    return [WoodDone(seen[wood], needs.get(wood), stays.get(wood), ones) for wood, ones in told]


def _out(piece: StockPiece, moved: Moved, uncut: Collection[str]) -> PieceOut:
    came = moved.back.get(piece.pk, ())
    return PieceOut(
        piece,
        board_feet(volume_mm3(piece.thickness, piece.width, piece.length)),
        [(move.piece.mark, board_feet(volume_mm3(*size_came(move)))) for move in came],
        moved.taken.get(piece.pk, Decimal(0)) - sum((move.worth for move in came), Decimal(0)),
        lies=piece.mark in uncut and not came,
    )


@dataclass(frozen=True)
class LotUsed:
    """Wood of one delivery that went into a piece: which of it, and how it was sold."""

    delivery: Delivery
    wood: WoodSeen
    grade: str
    marks: list[StockPiece]


def lots_used(pieces: Sequence[StockPiece], seen: Mapping[str, WoodSeen]) -> list[LotUsed]:
    lots: dict[int, LotUsed] = {}
    for piece in pieces:
        lot = piece.lot
        lots.setdefault(lot.pk, LotUsed(lot.delivery, seen[piece.wood], lot.grade, [])).marks.append(piece)
    return list(lots.values())
