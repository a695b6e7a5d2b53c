"""What the pages of a stocktake show, in a number of queries that does not grow with the rack."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from string import ascii_uppercase

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import StockEntry, StockMove, StockPiece, Stocktake, StocktakeCount
from shopapp.lumber.rack.telling import told_of_move
from shopapp.lumber.stock.ledger import NOT_FOUND, RACK

A_PAGE = 25
MOST_SHOWN = 200
_NUMBERED = re.compile(r"\d+[a-z]*")
_MARK = re.compile(r"[A-Za-z]\d+[a-z]*")


def in_scope(stocktake: Stocktake) -> QuerySet[StockPiece]:
    """The pieces the book has on the rack where this stocktake looks."""
    pieces = StockPiece.objects.filter(state=StockPiece.State.HERE)
    if stocktake.wood:
        pieces = pieces.filter(wood=stocktake.wood)
    return pieces.filter(place=stocktake.place) if stocktake.place else pieces


def uncounted(stocktake: Stocktake) -> QuerySet[StockPiece]:
    counted = StocktakeCount.objects.filter(stocktake=stocktake, piece=OuterRef("pk"))
    return in_scope(stocktake).filter(~Exists(counted))


def counted(stocktake: Stocktake) -> QuerySet[StocktakeCount]:
    """Newest first."""
    return stocktake.counts.select_related("piece", "counted_by").order_by("-changed_at", "-pk")


def scope_in_words(stocktake: Stocktake, seen: dict[str, WoodSeen]) -> str:
    where = f" in “{stocktake.place}”" if stocktake.place else ""
    if stocktake.wood:
        return f"the {seen[stocktake.wood].name}{where}"
    return f"everything{where}" if where else "the whole rack"


@dataclass(frozen=True)
class Progress:
    """How far a stocktake is. ``beside`` was counted besides what was looked for."""

    expected: int
    counted: int
    missing: int
    beside: int

    @property
    def left(self) -> int:
        return self.expected - self.counted


def progress(stocktake: Stocktake) -> Progress:
    """Two queries."""
    within = Q(piece__state=StockPiece.State.HERE)
    if stocktake.wood:
        within &= Q(piece__wood=stocktake.wood)
    if stocktake.place:
        within &= Q(piece__place=stocktake.place)
    sums = stocktake.counts.aggregate(
        all=Count("pk"), within=Count("pk", filter=within), missing=Count("pk", filter=Q(found=False))
    )
    expected = in_scope(stocktake).count()
    return Progress(expected, sums["within"], sums["missing"], sums["all"] - sums["within"])


def stocktakes() -> QuerySet[Stocktake]:
    """Newest first, each with how many were counted."""
    related = ("begun_by", "closed_by", "entry__undone_by")
    return Stocktake.objects.select_related(*related).annotate(counted=Count("counts")).order_by("-pk")


def pieces_marked(text: str) -> list[StockPiece]:
    """The piece of that mark, or of that number alone, in whatever state; several where a number is not enough, and
    where a piece was split the parts of it that are on the rack. At most two queries."""
    text = text.strip()
    if _NUMBERED.fullmatch(text.lower()) and len(text) < 12:
        marks = [letter + text.lower() for letter in ascii_uppercase]
    elif _MARK.fullmatch(text[:1] + text[1:].lower()) and len(text) <= 12:
        marks = [text[0].upper() + text[1:].lower()]
    else:
        return []
    found = list(StockPiece.objects.filter(mark__in=marks).select_related("demand").order_by("mark"))
    if len(found) == 1 and found[0].state == StockPiece.State.SPLIT:
        parts = StockPiece.objects.filter(parent=found[0], state=StockPiece.State.HERE).order_by("mark")
        return list(parts.select_related("demand")) or found
    return found


@dataclass(frozen=True)
class Written:
    """What a closed stocktake wrote of one piece. ``worth`` is less than nothing where it left the rack."""

    piece: StockPiece
    words: str
    worth: Decimal


@dataclass(frozen=True)
class Outcome:
    """What the entry of a closed stocktake did: the first of it in sentences, and sums over all of it."""

    told: list[Written]
    more: int
    lost: Decimal
    back: Decimal
    undone: StockEntry | None


def outcome(stocktake: Stocktake, unit: str) -> Outcome | None:
    """None where nothing was written. Three queries."""
    entry = stocktake.entry
    if entry is None:
        return None
    moves = list(StockMove.objects.filter(entry=entry).select_related("piece").order_by("pk"))
    told = [
        Written(move.piece, told_of_move(move, unit), move.worth if move.went_to == RACK else -move.worth)
        for move in moves[:MOST_SHOWN]
    ]
    lost = sum((move.worth for move in moves if move.went_to == NOT_FOUND), Decimal(0))
    back = sum((move.worth for move in moves if move.came_from == NOT_FOUND), Decimal(0))
    undone = StockEntry.objects.filter(undoes=entry).first()
    return Outcome(told, len(moves) - len(told), lost, back, undone)
