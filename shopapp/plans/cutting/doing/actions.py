"""A kept cut plan started, its cuts reported, its offcuts brought back; each of it undone by another entry.

Every change waits for the demand of its key first, so that two at one bench come one after the other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import volume_mm3
from shopapp.common.actions import write_audit
from shopapp.lumber.models import StockEntry, StockMove, StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.actions import Size, undo_entry
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member
from shopapp.plans.cutting.actions import RackMoved
from shopapp.plans.cutting.pieces import what_changed
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutEntry, CutSheet
from shopapp.workshop.readers import the_workshop

from .balance import moves_of, share_of
from .planning import BoardToCut, PlannedOffcut, boards_of, laid_out
from .standing import Standing, newest_sheet, standing_of

Spend = Callable[[], None]
Kind, State = CutEntry.Kind, StockPiece.State


class DoneMeanwhile(PlannerError):
    """What was asked for stands as somebody else left it a moment before."""


@dataclass(frozen=True)
class Back:
    """An offcut that was looked at: ``planned`` or, where None, one nobody planned; without a ``size`` it was thrown
    away."""

    planned: PlannedOffcut | None
    size: Size | None


def start(*, who: Member | None, cutting: Cutting, sheet: CutSheet, spend: Spend = lambda: None) -> CutEntry:
    """Take the boards of a sheet from the rack: all that are not out yet, or none. Raises RackMoved, which says by mark
    what is in the way."""
    with transaction.atomic():
        spend()
        if closed := cutting.refuses():
            raise PlannerError(closed)
        demand, _ = _locked(cutting, sheet)
        out = set(_out(cutting, sheet))
        if absent := to_buy(sheet):
            raise RackMoved(absent)
        missing = [one for one in sheet.pieces if one["mark"] not in out]
        if not missing:
            raise DoneMeanwhile("Its boards are out already.", mend="Cut on; here is how it stands.")
        if changed := what_changed(missing, cutting.key, the_workshop().unit, lock=True):
            raise RackMoved(changed)
        pieces = list(StockPiece.objects.filter(pk__in=[one["pk"] for one in missing]).select_related("demand"))
        try:
            taken = promises.take(who=who, demand=demand, pieces=sorted(pieces, key=lambda one: one.pk))
        except StockMoved as moved:
            raise RackMoved(what_changed(missing, cutting.key, the_workshop().unit) or {"": str(moved)}) from moved
        return _tell(who, sheet, Kind.STARTED, taken.words, stock_entry=taken)


def to_buy(sheet: CutSheet) -> dict[str, str]:
    """Of each board the sheet cuts that was only imagined, that it has to be bought first."""
    there = {one["mark"] for one in sheet.pieces}
    return {
        mark: f"“{mark}” is not on the rack. Write the delivery into the book once it is bought, and plan with it."
        for mark in boards_of(sheet.form)
        if mark not in there
    }


def report(
    *, who: Member | None, cutting: Cutting, sheet: CutSheet, board: str, rough: int | None, spend: Spend = lambda: None
) -> list[CutEntry]:
    """A rough length of a board was cut as planned, or with ``rough`` None all that are left of it."""
    with transaction.atomic():
        spend()
        if closed := cutting.refuses():
            raise PlannerError(closed, mend="Nothing more is ticked; a tick can be taken back, and wood brought back.")
        _, standing = _locked(cutting, sheet)
        laid = _board(sheet, board)
        ticks = [one for one in laid.ticks if rough in (None, one.number)]
        if not ticks:
            raise PlannerError(f"Nothing like that is to be cut of {board}.", mend="Look at its page as it is now.")
        if board not in _out(cutting, sheet):
            raise StockMoved(
                f"{board} is not out for {cutting.label}.",
                mend="Start it, which takes it from the rack, and tick again.",
            )
        left = [one for one in ticks if (board, one.number) not in standing.cuts]
        if not left:
            before = standing.cuts[board, ticks[0].number]
            by = f" by {before.who}" if before.who else ""
            raise DoneMeanwhile(f"{ticks[0].name} was ticked already{by}.", mend="Here is how it stands.")
        return [
            _tell(who, sheet, Kind.CUT, f"{one.name} was cut: {_counted(one)}.", board=board, rough=one.number)
            for one in left
        ]


def _counted(rough) -> str:
    strips, pieces = len(rough.strips), rough.pieces
    return f"{strips} strip{'s' * (strips != 1)}, {pieces} piece{'s' * (pieces != 1)}"


def bring_back(
    *, who: Member | None, cutting: Cutting, sheet: CutSheet, board: str, back: Sequence[Back], seen_version: int,
    spend: Spend = lambda: None,
) -> tuple[CutEntry, list[StockPiece]]:  # fmt: skip
    """Offcuts of a board come back as measured, or are thrown away; each planned one is settled once. Raises StockMoved
    where somebody else brought some back since the page was opened."""
    if not back:
        raise PlannerError("Nothing was said of any offcut.", mend="Confirm one, measure it, or throw it away.")
    with transaction.atomic():
        spend()
        _, standing = _locked(cutting, sheet)
        laid = _board(sheet, board)
        piece = _out(cutting, sheet).get(board)
        if piece is None:
            raise StockMoved(f"{board} is not out.", mend="Look at it as it is now.")
        for one in back:
            if one.planned is not None:
                _may_settle(laid, one.planned, standing)
        if piece.edit_version != seen_version:
            raise StockMoved(f"{board} was changed meanwhile.", mend="Look at what came back of it, and decide again.")
        sizes = [one.size for one in back if one.size is not None]
        _may_hold(laid, piece, standing, sizes)
        made = promises.bring_back(who=who, piece=piece, offcuts=sizes) if sizes else []
        entry = made[0].moves.select_related("entry").first().entry if made else None
        thrown = len(back) - len(made)
        words = [entry.words] if entry else []
        words += [
            f"{thrown} offcut{'s' * (thrown != 1)} of {board} {'was' if thrown == 1 else 'were'} thrown away."
        ] * bool(thrown)
        return (
            _tell(
                who, sheet, Kind.RETURNED, " ".join(words), board=board, stock_entry=entry, offcuts=_offcuts(back, made)
            ),
            made,
        )


def _may_settle(laid: BoardToCut, one: PlannedOffcut, standing: Standing) -> None:
    if (laid.mark, one.rough, one.kind, one.number) in standing.settled:
        raise DoneMeanwhile("That offcut was settled already.", mend="Here is how it stands.")
    rough = laid.rough[one.rough - 1]
    if rough.strips and (laid.mark, rough.number) not in standing.cuts:
        raise PlannerError(f"{rough.name} is not ticked as cut yet.", mend="Tick it first; then its offcuts are there.")


def _may_hold(laid: BoardToCut, piece: StockPiece, standing: Standing, sizes: Sequence[Size]) -> None:
    """Raises PlannerError where more would come back than the parts that were cut leave."""
    share = share_of(laid, piece, moves_of([piece]).back.get(piece.pk, ()), standing)
    more = sum(volume_mm3(size.thickness, size.width, size.length) for size in sizes)
    if share.parts + share.back + more > share.out:
        raise PlannerError(
            f"With the parts cut of it, that is more wood than {piece.mark} was.",
            mend="Measure the offcuts again, or untick what was not cut.",
        )


def _offcuts(back: Sequence[Back], made: Sequence[StockPiece]) -> list[dict[str, object]]:
    marks = iter(piece.mark for piece in made)
    return [
        {
            "rough": one.planned.rough if one.planned else 0,
            "kind": one.planned.kind if one.planned else "",
            "number": one.planned.number if one.planned else 0,
            "mark": next(marks) if one.size is not None else "",
        }
        for one in back
    ]


def undo(
    *, who: Member | None, cutting: Cutting, sheet: CutSheet, entry: CutEntry, spend: Spend = lambda: None
) -> CutEntry:
    """Undo a start, a cut or a coming back by another entry, with what the rack wrote of it. Raises PlannerError where
    something that came after it stands in the way."""
    with transaction.atomic():
        spend()
        _, standing = _locked(cutting, sheet)
        held = [*standing.starts, *standing.cuts.values(), *standing.returns]
        if entry.pk not in {one.pk for one in held}:
            raise DoneMeanwhile("That was undone already.", mend="Here is how it stands.")
        if entry.kind == Kind.STARTED:
            _may_undo_start(entry, standing)
        elif entry.kind == Kind.CUT and any((entry.board, entry.rough) == one[:2] for one in standing.settled):
            raise PlannerError(
                f"Offcuts of {entry.board} came back from that cut.", mend="Undo their coming back first."
            )
        turned = undo_entry(who=who, entry=entry.stock_entry) if entry.stock_entry else None
        return _tell(
            who, sheet, Kind.UNDONE, f"Undone: {entry.words}", board=entry.board, rough=entry.rough, undoes=entry,
            stock_entry=turned,
        )  # fmt: skip


def _may_undo_start(entry: CutEntry, standing: Standing) -> None:
    pieces = list(StockPiece.objects.filter(moves__entry=entry.stock_entry))
    marks = {piece.mark for piece in pieces}
    if cut := sorted({board for board, _ in standing.cuts if board in marks}):
        raise PlannerError(
            f"{', '.join(cut)} {'is' if len(cut) == 1 else 'are'} cut already.", mend="Undo the cuts first."
        )
    back = StockMove.objects.filter(
        entry__kind=StockEntry.Kind.RETURNED, entry__undone_by=None, piece__parent__in=pieces
    )
    if first := back.select_related("piece__parent").first():
        raise PlannerError(f"{first.piece.mark} came back of {first.piece.parent.mark}.", mend="Undo that first.")


def _locked(cutting: Cutting, sheet: CutSheet):
    """The demand of the key, locked, and how far the sheet has come. Raises DoneMeanwhile for a sheet that does not
    count any more."""
    demand = promises.want_wood(label=cutting.label, key=cutting.key)
    newest = newest_sheet(cutting.key, cutting.plan.pk)
    if newest is None or newest.pk != sheet.pk:
        raise DoneMeanwhile("Another cut plan was kept meanwhile.", mend="Here is the one that counts now.")
    return demand, standing_of(sheet)


def _out(cutting: Cutting, sheet: CutSheet) -> dict[str, StockPiece]:
    """Boards of the sheet that were taken for the key, by mark."""
    taken = StockPiece.objects.filter(
        pk__in=[one["pk"] for one in sheet.pieces], state=State.TAKEN, demand__key=cutting.key
    )
    return {piece.mark: piece for piece in taken.select_related("demand", "lot")}


def _board(sheet: CutSheet, mark: str) -> BoardToCut:
    found = laid_out(sheet.form).board(mark)
    if found is None:
        raise PlannerError(f"This cut plan cuts no board {mark}.", mend="Choose one of its boards.")
    return found


def _tell(who: Member | None, sheet: CutSheet, kind: str, words: str, **fields) -> CutEntry:
    entry = CutEntry.objects.create(who=who, sheet=sheet, kind=kind, words=words[:400], **fields)
    write_audit(who, words, entry)
    return entry
