"""What was counted against what the book has: a sentence for each difference, and what would be written for it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Q

from planner.measures import Length, format_length
from shopapp.lumber.models import StockMove, StockPiece, Stocktake, StocktakeCount
from shopapp.lumber.stock.ledger import NOT_FOUND

SIDES = ("thickness", "width", "length")
State = StockPiece.State
# What can be done about a piece that lies there though the book has it gone.
_WAYS = {
    State.TAKEN: "Bring it back where it was taken for; until then it is only noted here.",
    State.SCRAPPED: "Undo that on its page if it is of use after all; until then it is only noted here.",
    State.SPLIT: "Look whether it is one of its parts; if it never was cut, undo that on its page.",
    State.UNDONE: "Its delivery was undone. If it is there all the same, book it anew.",
}


@dataclass(frozen=True)
class Difference:
    """One piece that is not as the book has it. ``kind``: "missing", "again" (found that was written as not found),
    "otherwise" (size or place), "out" (there though the book has it gone) or "changed" (since it was counted); only
    the first three are written. ``worth`` leaves the rack with what is missing and returns with what is found again.
    """

    kind: str
    piece: StockPiece
    words: str
    worth: Decimal = Decimal(0)
    changes: dict[str, object] = field(default_factory=dict)

    @property
    def is_written(self) -> bool:
        return self.kind in ("missing", "again", "otherwise")


def differences(stocktake: Stocktake, unit: str) -> list[Difference]:
    """All differences of what was counted, those that are written first, then by mark. Two queries."""
    measured = Q(thickness__isnull=False) | Q(width__isnull=False) | Q(length__isnull=False)
    otherwise = Q(found=False) | Q(moved=True) | measured | ~Q(piece__state=State.HERE)
    counts = stocktake.counts.filter(otherwise).select_related("piece__demand")
    worth_of = _worth_when_lost([count.piece for count in counts if count.piece.state == State.MISSING])
    found = [d for count in counts if (d := _difference(count, worth_of, unit))]
    return sorted(found, key=lambda d: (not d.is_written, d.kind, d.piece.mark))


def not_counted(piece: StockPiece) -> Difference:
    """A piece nobody counted, where what was not counted is said to be not found."""
    return Difference("missing", piece, f"{piece.mark} was not counted.{_promise(piece)}", piece.worth)


def seen_as(found: Iterable[Difference]) -> str:
    """A short sign of what a page showed, so that nothing else is written than what was read."""
    told = "\n".join(f"{d.kind} {d.piece.pk} {d.piece.edit_version} {d.words}" for d in found)
    return hashlib.sha256(told.encode()).hexdigest()[:20]


def why_out(piece: StockPiece) -> str:
    """For a piece that is not on the rack, in words what the book has of it."""
    by = f" for {piece.demand.label}" if piece.state == State.TAKEN and piece.demand else ""
    return f"the book has it as {piece.get_state_display()}{by}"


def what_can_be_done(piece: StockPiece) -> str:
    if piece.state == State.MISSING:
        return "It comes back to the rack, with the worth it left with, when this stocktake is closed."
    return _WAYS.get(piece.state, "")


def _difference(count: StocktakeCount, worth_of: dict[int, Decimal], unit: str) -> Difference | None:
    piece = count.piece
    here, changed_since = piece.state == State.HERE, count.piece_version != piece.edit_version
    if not count.found:
        if not here:
            return None
        if changed_since:
            return _changed(piece, "It was not found")
        return Difference("missing", piece, f"{piece.mark} was not found.{_promise(piece)}", piece.worth)
    if not here and piece.state != State.MISSING:
        # What went since it was counted was there when it was counted.
        if changed_since:
            return None
        return Difference("out", piece, f"{piece.mark} was found, and {why_out(piece)}. {what_can_be_done(piece)}")
    changes = _otherwise(count)
    words = _told(piece, changes, unit)
    if piece.state == State.MISSING:
        if changed_since:
            return _changed(piece, "It was found")
        again = f"{piece.mark} is found again."
        return Difference("again", piece, " ".join([again, *words]), worth_of.get(piece.pk, Decimal(0)), changes)
    if not changes:
        return None
    return (
        _changed(piece, " ".join(words))
        if changed_since
        else Difference("otherwise", piece, " ".join(words), changes=changes)
    )


def _otherwise(count: StocktakeCount) -> dict[str, object]:
    piece = count.piece
    changes: dict[str, object] = {
        side: value for side in SIDES if (value := getattr(count, side)) and value != getattr(piece, side)
    }
    if count.moved and count.place != piece.place:
        changes["place"] = count.place
    return changes


def _told(piece: StockPiece, changes: dict[str, object], unit: str) -> list[str]:
    words = []
    if any(side in changes for side in SIDES):
        now = [changes.get(side, getattr(piece, side)) for side in SIDES]
        book = [getattr(piece, side) for side in SIDES]
        words.append(f"{piece.mark} measures {sizes(now, unit)}; the book has {sizes(book, unit)}.")
    if "place" in changes:
        words.append(f"{piece.mark} lies {lies(changes['place'])}; the book has it {lies(piece.place)}.")
    return words


def _changed(piece: StockPiece, words: str) -> Difference:
    told = f"{piece.mark} was changed since it was counted. {words.removesuffix('.')}. Count it again."
    return Difference("changed", piece, told)


def _promise(piece: StockPiece) -> str:
    return f" It is promised to {piece.demand.label}." if piece.demand else ""


def sizes(sides: Iterable[Length], unit: str) -> str:
    return f"{' × '.join(format_length(side, unit, with_unit=False) for side in sides)} {unit}"


def lies(place: object) -> str:
    return f"in “{place}”" if place else "in no named place"


def _worth_when_lost(pieces: list[StockPiece]) -> dict[int, Decimal]:
    """What each missing piece was worth when it was written as not found. At most one query."""
    if not pieces:
        return {}
    moves = StockMove.objects.filter(piece__in=pieces, went_to=NOT_FOUND).order_by("pk")
    return dict(moves.values_list("piece_id", "worth"))
