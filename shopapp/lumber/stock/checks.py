"""What `manage.py verify` asks of the stock: pieces are the sum of their moves, and no worth came or went unseen."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from shopapp.lumber.models import Lot, StockMove, StockPiece

from .ledger import FIELDS, RACK, plain


def pieces_that_are_not_their_moves() -> list[str]:
    """Every piece replayed from its moves, and compared with what stands in its row."""
    state: dict[int, dict[str, object]] = defaultdict(dict)
    for piece, after in StockMove.objects.order_by("pk").values_list("piece_id", "after").iterator():
        state[piece].update(after)
    faults = []
    for piece in StockPiece.objects.iterator():
        kept = state.get(piece.pk, {})
        wrong = [name for name in FIELDS if not _same(plain(getattr(piece, name)), kept.get(name))]
        if wrong:
            faults.append(f"Piece {piece.mark} is not what its entries make it: {', '.join(wrong)}.")
    return faults


def _same(stands: object, kept: object) -> bool:
    if isinstance(stands, str) and isinstance(kept, str) and stands != kept:
        try:
            return Decimal(stands) == Decimal(kept)
        except ArithmeticError:
            return False
    return stands == kept


def worth_that_came_or_went_unseen() -> list[str]:
    """Per lot, what came in is what is on the rack and on every other account; the rack is what its pieces say."""
    came: dict[int, Decimal] = defaultdict(Decimal)
    rack: dict[int, Decimal] = defaultdict(Decimal)
    for lot, came_from, went_to, worth in StockMove.objects.values_list(
        "piece__lot_id", "came_from", "went_to", "worth"
    ).iterator():
        if came_from.startswith("supplier "):
            came[lot] += worth
        if went_to.startswith("supplier "):
            came[lot] -= worth
        if went_to == RACK:
            rack[lot] += worth
        if came_from == RACK:
            rack[lot] -= worth
    held: dict[int, Decimal] = defaultdict(Decimal)
    for lot, worth in StockPiece.objects.filter(state=StockPiece.State.HERE).values_list("lot_id", "worth").iterator():
        held[lot] += worth
    faults = []
    for lot in Lot.objects.select_related("delivery__supplier").iterator():
        undone = came[lot.pk] == 0
        if came[lot.pk] != lot.cost and not undone:
            faults.append(f"{lot}: {came[lot.pk]} came to the rack, {lot.cost} was paid.")
        if rack[lot.pk] != held[lot.pk]:
            faults.append(f"{lot}: the entries leave {rack[lot.pk]} on the rack, its pieces say {held[lot.pk]}.")
    return faults
