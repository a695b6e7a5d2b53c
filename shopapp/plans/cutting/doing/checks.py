"""What `manage.py verify` asks of cuts and rack: the two ledgers tell of the same boards, and no more wood came of a
board than it was."""

from __future__ import annotations

from collections.abc import Iterable

from shopapp.lumber.models import StockEntry, StockMove, StockPiece
from shopapp.plans.models import CutEntry, CutSheet

from .balance import moves_of, share_of
from .planning import Laid, laid_out
from .standing import Standing, standing_from

Kind = CutEntry.Kind


def cuts_and_rack_that_disagree() -> list[str]:
    """One sentence a fault."""
    faults = []
    for sheet in CutSheet.objects.filter(entries__isnull=False).distinct().order_by("pk").iterator(chunk_size=20):
        entries = list(
            CutEntry.objects.filter(sheet=sheet)
            .select_related("undone_by", "undoes", "stock_entry__demand")
            .order_by("-pk")
        )
        stock_undone = set(
            StockEntry.objects.filter(
                pk__in=[one.stock_entry_id for one in entries if one.stock_entry_id], undone_by__isnull=False
            ).values_list("pk", flat=True)
        )
        laid = laid_out(sheet.form)
        held = [
            one
            for one in entries
            if one.kind != Kind.UNDONE and not hasattr(one, "undone_by") and one.stock_entry_id not in stock_undone
        ]
        found = [
            *_undone_by_half(entries, stock_undone),
            *_not_of_the_sheet(laid, held),
            *_not_as_the_rack_says(sheet, held),
            *_more_than_there_was(sheet, laid, standing_from(held)),
        ]
        faults += [f"Cut sheet {sheet.pk}: {words}" for words in found]
    return faults


def _undone_by_half(entries: Iterable[CutEntry], stock_undone: set[int]) -> Iterable[str]:
    for one in entries:
        if one.kind == Kind.UNDONE and one.undoes.stock_entry_id and one.undoes.stock_entry_id not in stock_undone:
            yield f"“{one.undoes.words}” was undone, and stands on the rack."


def _not_of_the_sheet(laid: Laid, held: Iterable[CutEntry]) -> Iterable[str]:
    ticks = {(board.mark, one.number) for board in laid.boards for one in board.ticks}
    planned = {(board.mark, one.rough, one.kind, one.number) for board in laid.boards for one in board.offcuts}
    seen: set[tuple] = set()
    for entry in held:
        if entry.kind == Kind.CUT:
            told = [(entry.board, entry.rough)]
            known = ticks
        else:
            told = [(entry.board, one["rough"], one["kind"], one["number"]) for one in entry.offcuts if one["rough"]]
            known = planned
        for one in told:
            if one not in known:
                yield f"“{entry.words}” is of nothing that is cut."
            if one in seen:
                yield f"“{entry.words}” was told twice."
            seen.add(one)


def _not_as_the_rack_says(sheet: CutSheet, held: list[CutEntry]) -> Iterable[str]:
    marks = {one["pk"]: one["mark"] for one in sheet.pieces}
    out = set(
        StockPiece.objects.filter(pk__in=marks, state=StockPiece.State.TAKEN, demand__key=sheet.key).values_list(
            "mark", flat=True
        )
    )
    for board in sorted({entry.board for entry in held if entry.kind == Kind.CUT} - out):
        yield f"{board} was cut, and is not out for {sheet.label}."
    for entry in held:
        if entry.stock_entry is None:
            continue
        pieces = {
            move.piece.mark: move.piece.parent_id
            for move in StockMove.objects.filter(entry=entry.stock_entry).select_related("piece")
        }
        if entry.kind == Kind.STARTED:
            demand = entry.stock_entry.demand
            if entry.stock_entry.kind != StockEntry.Kind.TAKEN or demand is None or demand.key != sheet.key:
                yield f"“{entry.words}” is no taking of its boards on the rack."
            if not set(pieces) <= set(marks.values()):
                yield f"“{entry.words}” took boards it does not cut."
        elif entry.kind == Kind.RETURNED:
            came = {mark for mark, parent in pieces.items() if parent is not None and mark != entry.board}
            told = {one["mark"] for one in entry.offcuts if one["mark"]}
            if came != told or any(marks.get(pieces[mark]) != entry.board for mark in came):
                yield f"“{entry.words}”: the rack says {', '.join(sorted(came)) or 'nothing'} came back."


def _more_than_there_was(sheet: CutSheet, laid: Laid, standing: Standing) -> Iterable[str]:
    numbers = [one["pk"] for one in sheet.pieces]
    outs = list(StockPiece.objects.filter(pk__in=numbers, state=StockPiece.State.TAKEN, demand__key=sheet.key))
    moved = moves_of(outs)
    for piece in outs:
        board = laid.board(piece.mark)
        if board is None:
            yield f"{piece.mark} was taken, and nothing is cut of it."
            continue
        share = share_of(board, piece, moved.back.get(piece.pk, ()), standing)
        if share.parts + share.back > share.out:
            yield f"Of {piece.mark} came more wood than it was."
