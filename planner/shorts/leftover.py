"""What a cut plan will leave, as free pieces: so that what can be made of the shorts is asked before they are cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.cutting.fromshop import Piece as RackPiece
from planner.cutting.fromshop import length_of, unit_of
from planner.cutting.plan import CutFile, Offcut, RoughCut
from planner.measures import Length
from planner.shop import Shop
from planner.shorts.shelf import Piece
from planner.shorts.whole import NM


@dataclass(frozen=True, slots=True)
class Leftover:
    """A piece there will be: ``board`` is the mark of the piece it comes off, ``rough`` the rough length, counted from
    0, ``kind`` as in ``planner.cutting.plan.Offcut``. What was milled for strips is surfaced; an end kept whole is as
    its board was, and a resawn layer kept whole is as the band saw leaves it."""

    key: int
    board: str
    rough: int
    kind: str
    wood: str
    thickness: Length
    width: Length
    length: Length
    surfaced: bool

    @property
    def as_piece(self) -> Piece:
        """As ``planner.shorts.shelves`` takes free pieces: whole nanometres, rounded down."""
        thickness, width, length = (int(side.mm * NM) for side in (self.thickness, self.width, self.length))
        return self.key, self.wood, thickness, width, length, self.surfaced


def leftovers(
    offcuts: Sequence[Offcut], file: CutFile, pieces: Sequence[RackPiece], shop: Shop, *, first_key: int = -1
) -> tuple[Leftover, ...]:
    """The ``offcuts`` of the plan in ``file`` as pieces, with keys counted down from ``first_key``, below any row's.

    ``offcuts`` are the plan's own or, where pieces were counted at nothing, those of ``costs_of``; ``pieces`` the rack
    the job was made from, boards to buy among them by the names they have in the job, as
    ``planner.cutting.fromshop.named`` gives them.
    """
    assert file.plan is not None
    unit = unit_of(file.unit)
    shelf: Mapping[str, RackPiece] = {piece.mark: piece for piece in pieces}
    cuts = {cut.board: cut.rough for cut in file.plan.boards}
    found = []
    for number, offcut in enumerate(offcuts):
        piece, rough = shelf[offcut.board], cuts[offcut.board][offcut.rough]
        thickness, surfaced = _thickness(offcut, piece, rough, unit, shop)
        found.append(
            Leftover(
                first_key - number,
                offcut.board,
                offcut.rough,
                offcut.kind,
                piece.wood,
                thickness,
                length_of(offcut.width, unit),
                length_of(offcut.length, unit),
                surfaced,
            )
        )
    return tuple(found)


def _thickness(offcut: Offcut, piece: RackPiece, rough: RoughCut, unit: Length, shop: Shop) -> tuple[Length, bool]:
    if offcut.kind == "end":
        return piece.thickness, piece.surfaced
    if offcut.kind == "layer":
        return (piece.thickness - shop.resaw_kerf) / 2, False
    return length_of(rough.thickness, unit), True
