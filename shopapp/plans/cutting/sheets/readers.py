"""What the marking-out sheets show: boards with drawings and lists, what is taken, what goes back, the set-ups."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.measures import Length
from shopapp.common.documents import paper_state
from shopapp.common.tasks import TaskState
from shopapp.lumber.models import StockPiece
from shopapp.plans import planning as plans_planning
from shopapp.plans.models import CutPaper, CutSheet
from shopapp.workshop.models import Workshop

from . import planning
from .planning import BoardLine, PartTotal
from .steps import KindLine, kinds_of, minutes_in, time_words


@dataclass(frozen=True)
class TakeLine:
    """A piece to take from the rack; ``place`` is where it lies, ``bought`` one that has to be bought first."""

    board: BoardLine
    thickness: Length | None
    surfaced: bool
    place: str
    bought: bool


@dataclass(frozen=True)
class Counts:
    """Of a whole plan."""

    boards: int
    rough: int
    strips: int
    parts: int
    offcuts: int
    set_ups: int


@dataclass(frozen=True)
class SheetView:
    """A kept cut plan as its paper shows it. ``key`` are (words, drawing) of what hatches mean."""

    boards: list[BoardLine]
    parts: list[PartTotal]
    key: list[tuple[str, str]]
    kinds: list[KindLine]
    order: Sequence[str]
    minutes: str
    counts: Counts

    @property
    def offcuts(self) -> list:
        return [offcut for board in self.boards for offcut in board.offcuts]


def sheet_view(sheet: CutSheet, workshop: Workshop) -> SheetView:
    """Everything the paper shows but where the boards lie now."""
    return view_of(planning.cut_file(sheet.form), _looks(sheet), sheet.set_ups_record, workshop.unit)


def view_of(file, looks: Mapping, set_ups: Mapping, writes: str) -> SheetView:
    """The same of a cut file with its plan, the looks of its woods and the record of its set-ups. No query."""
    boards = planning.boards(file, looks, writes, on_paper=True)
    kinds = kinds_of(set_ups)
    counts = Counts(
        boards=len(boards),
        rough=sum(len(board.rough) for board in boards),
        strips=sum(board.strip_count for board in boards),
        parts=sum(board.pieces for board in boards),
        offcuts=sum(len(board.offcuts) for board in boards),
        set_ups=sum(len(kind.steps) for kind in kinds),
    )
    first = looks.get(boards[0].wood) if boards else None
    return SheetView(
        boards=boards,
        parts=planning.part_totals(file, looks),
        key=planning.key_of(first) if first else [],
        kinds=kinds,
        order=set_ups.get("order", ()),
        minutes=time_words(minutes_in([set_ups["minutes"]])) if kinds else "",
        counts=counts,
    )


def to_take(sheet: CutSheet, boards: Sequence[BoardLine], places: Mapping[str, str]) -> list[TakeLine]:
    """The boards by their marks, with where each lies by ``places``."""
    seen = {one["mark"]: one for one in sheet.pieces}
    lines = []
    for board in boards:
        one = seen.get(board.mark)
        thickness = Length.from_nm(one["thickness"]) if one else None
        lines.append(TakeLine(board, thickness, bool(one and one["surfaced"]), places.get(board.mark, ""), one is None))
    return lines


def places_now(sheet: CutSheet) -> dict[str, str]:
    """Where the boards of a sheet lie on the rack, by their marks. One query."""
    where = dict(StockPiece.objects.filter(pk__in=[one["pk"] for one in sheet.pieces]).values_list("pk", "place"))
    return {one["mark"]: where.get(one["pk"], "") for one in sheet.pieces}


def _looks(sheet: CutSheet) -> dict:
    return plans_planning.looks_of(sheet.plan.record)


def paper_of(sheet_pk: int) -> TaskState:
    """How far the sheets on paper are. At most two queries."""
    paper = CutPaper.objects.filter(sheet=sheet_pk).first()
    return paper_state(paper, "The marking-out sheets were not made. Ask for them again.")
