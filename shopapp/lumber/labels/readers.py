"""Which pieces labels are made of, and how far the paper is."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.common.tasks import task_state
from shopapp.lumber.models import Delivery, LabelSheet, StockPiece


def newest_delivery() -> Delivery | None:
    """The one booked last that was not undone. One query."""
    here = StockPiece.objects.filter(state=StockPiece.State.HERE, parent=None).order_by("-lot_id")
    piece = here.select_related("lot__delivery__supplier").first()
    return piece.lot.delivery if piece else None


@dataclass(frozen=True)
class SheetState:
    """``word``: "ready", "waiting", "working" or "failed"; ``message`` says why it failed."""

    word: str
    message: str = ""


def sheet_state(sheet: LabelSheet) -> SheetState:
    if sheet.document_id is not None:
        return SheetState("ready")
    state = task_state(sheet.task)
    if state.word in ("failed", "unknown", "done"):
        return SheetState("failed", state.message or "The labels were not made. Ask for them again.")
    return SheetState(state.word)
