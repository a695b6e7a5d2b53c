"""The one way a piece of stock changes: an entry in words, a move for each piece, and the piece brought into line.

Every change is conditional on the piece being as it was seen, so that two who act at once cannot both have it; all
moves of an entry happen or none does. To be called inside a transaction.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from django.db.models import F
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.lumber.models import Demand, StockEntry, StockMove, StockPiece
from shopapp.people.models import Member

RACK = "rack"
WASTE = "waste"
NOT_FOUND = "not found"
# What of a piece an entry may change; the worth moves between accounts beside them.
FIELDS = ("thickness", "width", "length", "surfaced", "place", "state", "set_aside", "demand_id", "worth")


class StockMoved(PlannerError):
    """A piece is not as it was when the page was opened: somebody took or changed it meanwhile."""


def open_entry(
    who: Member | None,
    kind: str,
    words: str,
    *,
    demand: Demand | None = None,
    undoes: StockEntry | None = None,
) -> StockEntry:
    return StockEntry.objects.create(who=who, kind=kind, words=words[:400], demand=demand, undoes=undoes)


def add_piece(entry: StockEntry, *, came_from: str, **fields: object) -> StockPiece:
    """A piece that was not there before comes to the rack."""
    piece = StockPiece(**fields)
    add_pieces([(entry, came_from, piece)])
    return piece


def add_pieces(pieces: Sequence[tuple[StockEntry, str, StockPiece]]) -> None:
    """Pieces that were not there before come to the rack, each by its entry and from its account."""
    StockPiece.objects.bulk_create([piece for _, _, piece in pieces])
    StockMove.objects.bulk_create(
        StockMove(
            entry=entry,
            piece=piece,
            came_from=came_from,
            went_to=RACK,
            worth=piece.worth,
            before={},
            after={name: plain(getattr(piece, name)) for name in FIELDS},
        )
        for entry, came_from, piece in pieces
    )


def change_piece(
    entry: StockEntry, piece: StockPiece, *, came_from: str = "", went_to: str = "", carried: Decimal = Decimal(0),
    **changes: object,
) -> None:  # fmt: skip
    """Change ``piece`` and write its move, with the worth it carried from account to account. Raises StockMoved when
    it is not as ``piece`` says any more."""
    changed = {name: value for name, value in changes.items() if getattr(piece, name) != value}
    before = {name: plain(getattr(piece, name)) for name in changed}
    done = StockPiece.objects.filter(pk=piece.pk, edit_version=piece.edit_version).update(
        edit_version=F("edit_version") + 1, changed_at=timezone.now(), **changed
    )
    if not done:
        raise StockMoved(f"{piece.mark} was changed meanwhile.", mend="Look at it as it is now, and decide again.")
    StockMove.objects.create(
        entry=entry,
        piece=piece,
        came_from=came_from,
        went_to=went_to,
        worth=carried,
        before=before,
        after={name: plain(value) for name, value in changed.items()},
    )
    for name, value in changed.items():
        setattr(piece, name, value)
    piece.edit_version += 1


def plain(value: object) -> object:
    """A field's value as JSON: lengths in nanometres, money as text."""
    if isinstance(value, Length):
        return value.nm
    return str(value) if isinstance(value, Decimal) else value


def restored(values: Mapping[str, object]) -> dict[str, object]:
    """Field values back from a move's JSON."""
    return {name: _restored(name, value) for name, value in values.items()}


def _restored(name: str, value: object) -> object:
    if name in ("thickness", "width", "length"):
        return Length.from_nm(int(value))
    return Decimal(str(value)) if name == "worth" else value


def differs(name: str, piece: StockPiece, kept: object) -> bool:
    """Whether a piece's field is another than a move's JSON says; 10 and 10.0000 are the same money."""
    return getattr(piece, name) != _restored(name, kept)


def account_of(demand: Demand) -> str:
    return account_of_key(demand.key)


def account_of_key(key: str) -> str:
    return f"for {key}"
