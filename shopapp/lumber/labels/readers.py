"""Which pieces labels are made of, and how far the paper is."""

from __future__ import annotations

from shopapp.common.documents import paper_state
from shopapp.common.tasks import TaskState
from shopapp.lumber.models import Delivery, LabelSheet, StockPiece


def newest_delivery() -> Delivery | None:
    """The one booked last that was not undone. One query."""
    here = StockPiece.objects.filter(state=StockPiece.State.HERE, parent=None).order_by("-lot_id")
    piece = here.select_related("lot__delivery__supplier").first()
    return piece.lot.delivery if piece else None


def sheet_state(sheet: LabelSheet) -> TaskState:
    return paper_state(sheet, "The labels were not made. Ask for them again.")
