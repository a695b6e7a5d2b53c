"""Stocktakes to test on: one that is open with a piece missing, one that is closed. And a sheet of labels."""

from __future__ import annotations

from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.counting.actions import Found, begin_stocktake, count_piece
from shopapp.lumber.counting.closing import close_stocktake, closing_of
from shopapp.lumber.labels.actions import ask_for_labels
from shopapp.lumber.labels.papers import PAPERS
from shopapp.lumber.models import LabelSheet, StockPiece, Stocktake


def closed(who, *missing: StockPiece, moved: StockPiece | None = None) -> Stocktake:
    """A stocktake that wrote ``missing`` as not found and ``moved`` as lying on the bench."""
    stocktake = begin_stocktake(who=who)
    for piece in missing:
        count_piece(who=who, stocktake=stocktake, piece=piece, counted=Found(found=False))
    if moved is not None:
        count_piece(who=who, stocktake=stocktake, piece=moved, counted=Found(place="bench"))
    return close_stocktake(who=who, stocktake=stocktake, seen=closing_of(stocktake, "mm").seen)


def one_open_one_closed(who, missing: StockPiece, moved: StockPiece) -> dict[str, int]:
    """Their numbers: in the open one ``missing`` was not found, the closed one moved ``moved`` to the bench."""
    done = closed(who, moved=moved)
    stocktake = begin_stocktake(who=who)
    count_piece(who=who, stocktake=stocktake, piece=missing, counted=Found(found=False))
    return {"stocktake": stocktake.pk, "closed": done.pk}


def labels_made(who, *pieces: StockPiece) -> LabelSheet:
    """A sheet of labels that the worker has made."""
    paper = PAPERS["a4-24-70"]
    sheet = ask_for_labels(who=who, pieces=pieces, paper=paper, first=1, address="https://shop.example")
    run_waiting_tasks()
    return sheet
