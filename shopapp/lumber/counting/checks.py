"""What `manage.py verify` asks of stocktakes: what is not found left with its worth, and nothing else did."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from django.db.models import Q

from shopapp.lumber.models import StockMove, StockPiece
from shopapp.lumber.stock.ledger import NOT_FOUND


def worth_of_what_was_not_found() -> list[str]:
    """Every piece not found left with its worth, and a piece that is found again left nothing behind."""
    held: dict[int, Decimal] = defaultdict(Decimal)
    moves = StockMove.objects.filter(Q(came_from=NOT_FOUND) | Q(went_to=NOT_FOUND))
    for piece, went_to, worth in moves.values_list("piece_id", "went_to", "worth").iterator():
        held[piece] += worth if went_to == NOT_FOUND else -worth
    missing = set(StockPiece.objects.filter(state=StockPiece.State.MISSING).values_list("pk", flat=True))
    wrong = [piece for piece, worth in held.items() if worth < 0 or (worth and piece not in missing)]
    wrong += [piece for piece in missing if piece not in held]
    marks = StockPiece.objects.filter(pk__in=wrong).order_by("mark").values_list("mark", flat=True)
    return [f"Piece {mark}: what it left with when it was not found does not agree with where it is." for mark in marks]
