"""A cut plan read as the pieces it makes: every rough length, layer and strip with its name and its sizes.

Sizes stay in the file's whole units here; ``CutWood.length`` turns them into lengths.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.cutting.fromshop import unit_of
from planner.cutting.plan import BoardCut, CutFile, Rules, StockBoard, StripCut
from planner.cutting.setups.names import layer_name, rough_name, strip_name
from planner.cutting.setups.terms import SetUpError
from planner.measures import Length


@dataclass(frozen=True, slots=True)
class CutStrip:
    """A strip: ``ripped`` wide off the fence, ``width`` once gauged, ``thickness`` as the rough length is milled.

    ``parts`` are (length, how many) as the plan has them; ``pieces`` are (lengths, times), so many of those parts cut
    apart into these, ``between`` is a kerf and what each is left long for gauging."""

    name: str
    wood: str
    board: str
    length: int
    ripped: int
    width: int
    thickness: int
    parts: tuple[tuple[int, int], ...]
    pieces: tuple[tuple[tuple[int, ...], int], ...]
    between: int

    def joined(self, lengths: tuple[int, ...]) -> int:
        """The length of the part that is cut apart into ``lengths``."""
        return sum(lengths) + (len(lengths) - 1) * self.between


@dataclass(frozen=True, slots=True)
class Blank:
    """A rough length, or one layer of a resawn one, as it comes to the machines: ``across`` wide once one edge is
    straight, milled to ``thickness``. Without ``strips`` it goes back to the rack."""

    name: str
    rough: str
    wood: str
    board: str
    length: int
    across: int
    thickness: int
    strips: tuple[CutStrip, ...]


@dataclass(frozen=True, slots=True)
class Rough:
    """A rough length on its board, from ``at`` to ``at + length``; ``blanks`` are one, or two where it is resawn."""

    name: str
    wood: str
    at: int
    length: int
    width: int
    resawn: bool
    blanks: tuple[Blank, ...]

    @property
    def kept(self) -> bool:
        return not any(blank.strips for blank in self.blanks)


@dataclass(frozen=True, slots=True)
class CutBoard:
    """A board and the rough lengths it is crosscut into, in the order of the tape."""

    board: StockBoard
    rough: tuple[Rough, ...]


@dataclass(frozen=True, slots=True)
class CutWood:
    """Everything a file's plan makes."""

    boards: tuple[CutBoard, ...]
    rules: Rules
    unit: Length

    def length(self, units: int) -> Length:
        return self.unit * units

    @property
    def rough(self) -> tuple[Rough, ...]:
        return tuple(rough for board in self.boards for rough in board.rough)

    @property
    def blanks(self) -> tuple[Blank, ...]:
        """Blanks that are ripped."""
        return tuple(blank for rough in self.rough for blank in rough.blanks if blank.strips)

    @property
    def strips(self) -> tuple[CutStrip, ...]:
        return tuple(strip for blank in self.blanks for strip in blank.strips)

    @property
    def cut_strips(self) -> tuple[CutStrip, ...]:
        """Strips that parts are cut from; one without any goes back to the rack as it is ripped."""
        return tuple(strip for strip in self.strips if strip.parts)


def read(file: CutFile) -> CutWood:
    """The pieces of ``file.plan``. Raises SetUpError where there is no plan, or where it names a board that is not
    in the stock."""
    if file.plan is None:
        raise SetUpError("There is no cut plan to set the saw up for.", mend="Reckon a cut plan first.", field="plan")
    unit = unit_of(file.unit)
    shelf = {board.name: board for board in file.job.stock}
    boards = []
    for cut in file.plan.boards:
        if cut.board not in shelf:
            raise SetUpError(f"The plan cuts {cut.board}, which is not in the stock.", mend="Plan anew.", field="plan")
        boards.append(CutBoard(shelf[cut.board], _rough(cut, shelf[cut.board], file.job.rules)))
    return CutWood(tuple(boards), file.job.rules, unit)


def _rough(cut: BoardCut, board: StockBoard, rules: Rules) -> tuple[Rough, ...]:
    made = []
    least = rules.end_trim
    for i, rough in enumerate(cut.rough, 1):
        # Plans that do not say where a rough length begins lay them one behind the other.
        at = max(rough.at, least)
        least = at + rough.length + rules.crosscut_kerf
        name = rough_name(cut.board, i)
        across = board.width - rules.edge_trim
        first = _strips(rough.strips, cut.board, i, 1, board.wood, rough.length, rough.thickness, rules)
        blanks = [Blank(name, name, board.wood, cut.board, rough.length, across, rough.thickness, first)]
        if rough.resawn:
            n = len(first) + 1
            under = _strips(rough.under, cut.board, i, n, board.wood, rough.length, rough.thickness, rules)
            below = layer_name(cut.board, i)
            blanks.append(Blank(below, name, board.wood, cut.board, rough.length, across, rough.thickness, under))
        made.append(Rough(name, board.wood, at, rough.length, board.width, rough.resawn, tuple(blanks)))
    return tuple(made)


def _strips(
    strips: tuple[StripCut, ...],
    board: str,
    rough: int,
    first: int,
    wood: str,
    length: int,
    thickness: int,
    rules: Rules,
) -> tuple[CutStrip, ...]:
    return tuple(
        CutStrip(
            strip_name(board, rough, n),
            wood,
            board,
            length,
            strip.width + rules.over_width,
            strip.width,
            thickness,
            strip.parts,
            strip.pieces,
            rules.over_length + rules.crosscut_kerf,
        )
        for n, strip in enumerate(strips, first)
    )
