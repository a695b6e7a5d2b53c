"""What the pages of the rack show, in a number of queries that does not grow with the rack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import BigIntegerField, Count, ExpressionWrapper, F, Q, QuerySet, Sum
from django.db.models.functions import Cast, Round
from django.utils import timezone

from planner.measures import Length, board_feet, decimals, format_length
from shopapp.common.tables import parts
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import StockEntry, StockPiece

from .telling import told_of_move

A_PAGE = 100
ROWS_AT_ONCE = 500
Kind = StockEntry.Kind
# What is undone from a piece's own page. A delivery is undone on its page, a promise where it was made.
UNDONE_HERE = {Kind.SPLIT, Kind.MEASURED, Kind.SURFACED, Kind.MOVED, Kind.ASIDE, Kind.SCRAPPED}
_NM3_PER_MM3 = 10**18
# Whether a piece is fit to mill on a day, by what was noted when it was bought.
FITNESS = {
    "now": lambda today: Q(lot__fit_on__lte=today),
    "later": lambda today: Q(lot__fit_on__gt=today),
    "unknown": lambda today: Q(lot__fit_on__isnull=True),
}


def pieces_here(asked: Mapping[str, object]) -> QuerySet[StockPiece]:
    """Pieces on the rack, by what the list is narrowed to."""
    found = StockPiece.objects.filter(state=StockPiece.State.HERE)
    if asked.get("wood"):
        found = found.filter(wood=asked["wood"])
    if asked.get("least"):
        found = found.filter(length__gte=asked["least"])
    if asked.get("most"):
        found = found.filter(length__lte=asked["most"])
    if asked.get("place"):
        found = found.filter(place=asked["place"])
    if to := asked.get("to"):
        found = found.exclude(demand=None) if to == "any" else found.filter(demand=to)
    if fit := asked.get("fit"):
        found = found.filter(FITNESS[fit](timezone.localdate()))
    if asked.get("lot"):
        found = found.filter(lot=asked["lot"])
    if asked.get("free"):
        found = found.filter(demand=None, set_aside="")
    if mark := str(asked.get("mark") or "").strip():
        # The number alone is enough: numbers run through all woods.
        number = mark.isascii() and mark.isdigit()
        found = found.filter(mark__iregex=rf"^[a-z]{mark}([a-z]|$)") if number else found.filter(mark__istartswith=mark)
    return found


def places() -> list[str]:
    """Where pieces lie. One query."""
    here = StockPiece.objects.filter(state=StockPiece.State.HERE).exclude(place="")
    return list(here.order_by("place").values_list("place", flat=True).distinct())


@dataclass(frozen=True)
class Sums:
    pieces: int
    feet: Fraction
    worth: Decimal


def sums_of(found: QuerySet[StockPiece]) -> Sums:
    """How many, board feet there and what they are worth, exactly. One query: the database only adds up, the lengths
    of one section and whole ten-thousandths of money; what is multiplied is multiplied here."""
    volume, worth, count = 0, Decimal(0), 0
    for section in by_section(found):
        volume += section.volume
        worth += section.worth
        count += section.pieces
    return Sums(count, feet_of_nm3(volume), worth)


def feet_of_nm3(volume: int) -> Fraction:
    """Board feet of so many cubic nanometres, exact."""
    return board_feet(Fraction(volume, _NM3_PER_MM3))


@dataclass(frozen=True, slots=True)
class Section:
    """Pieces of one thickness and width: how many, and their lengths together, in whole nanometres."""

    thickness: int
    width: int
    pieces: int
    long: int
    worth: Decimal
    of: tuple[object, ...]

    @property
    def volume(self) -> int:
        """Cubic nanometres."""
        return self.thickness * self.width * self.long


def by_section(found: QuerySet[StockPiece], *of: str) -> list[Section]:
    """The pieces by thickness and width, and by the fields named in ``of``; money exact. One query.

    Sums of whole numbers are exact in either database as long as they stay under 2^63: nine million kilometres of
    wood in nanometres, or nine hundred million millions of money in ten-thousandths.
    """
    whole = BigIntegerField()
    sides = {side + "_nm": ExpressionWrapper(F(side), output_field=whole) for side in ("thickness", "width", "length")}
    parts = Cast(Round(F("worth") * 10_000), output_field=whole)
    rows = (
        found.order_by()
        .annotate(**sides)
        .values_list("thickness_nm", "width_nm", *of)
        .annotate(pieces=Count("pk"), long=Sum("length_nm"), parts=Sum(parts))
    )
    return [
        Section(thickness, width, pieces, int(long), Decimal(int(parts)).scaleb(-4), tuple(rest))
        for thickness, width, *rest, pieces, long, parts in rows
    ]


def asked_in_words(asked: Mapping[str, object], seen: Mapping[str, WoodSeen], demands: Mapping, unit: str) -> str:
    """What the list is narrowed to, as the end of a sentence: "of Black walnut, at least 400 mm long"."""
    to, mark = asked.get("to"), asked.get("mark")
    told = [
        asked.get("wood") and f"of {seen[str(asked['wood'])].name}",
        asked.get("least") and f"at least {format_length(asked['least'], unit)} long",
        asked.get("most") and f"at most {format_length(asked['most'], unit)} long",
        asked.get("place") and f"in “{asked['place']}”",
        to and f"promised to {demands.get(to, 'anybody')}",
        {"now": "fit to mill", "later": "not fit to mill yet", "unknown": "of no noted day"}.get(asked.get("fit")),
        asked.get("lot") and "of one line of a delivery",
        mark and f"marked {mark}",
        asked.get("free") and "free",
    ]
    return ", ".join(words for words in told if words)


@dataclass(frozen=True)
class WoodOnRack:
    wood: WoodSeen
    pieces: list[StockPiece]


def by_wood(pieces: list[StockPiece], seen: Mapping[str, WoodSeen]) -> list[WoodOnRack]:
    """A page of pieces under the woods they are of, in the order they come in."""
    groups: list[WoodOnRack] = []
    for piece in pieces:
        if not groups or groups[-1].wood.wood != piece.wood:
            groups.append(WoodOnRack(seen[piece.wood], []))
        groups[-1].pieces.append(piece)
    return groups


@dataclass(frozen=True)
class Told:
    """What happened to a piece: the entry, whether another undid it, and its words; of an entry over many pieces, what
    it did to this one."""

    entry: StockEntry
    undone: bool
    words: str


def history(piece: StockPiece, unit: str) -> list[Told]:
    """Newest first. One query."""
    moves = piece.moves.select_related("entry__who", "entry__undone_by").order_by("-pk")
    told: dict[int, Told] = {}
    for move in moves:
        move.piece = piece
        counted = move.entry.kind == Kind.COUNTED
        words = f"Stocktake: {told_of_move(move, unit)}" if counted else move.entry.words
        told.setdefault(move.entry_id, Told(move.entry, hasattr(move.entry, "undone_by"), words))
    return list(told.values())


def undoable(told: list[Told]) -> StockEntry | None:
    """The newest entry that stands, if it is one that is undone from the piece's page."""
    newest = next((one.entry for one in told if not one.undone and one.entry.kind != Kind.UNDONE), None)
    return newest if newest and newest.kind in UNDONE_HERE else None


def piece_feet(piece: StockPiece) -> Fraction:
    return board_feet(piece.thickness.mm * piece.width.mm * piece.length.mm)


# --- out as a table -----------------------------------------------------------------------------------------

COLUMNS = (
    "mark", "wood", "thickness mm", "width mm", "length mm", "surfaced", "place", "set aside", "promised to", "grade",
    "cut", "bought on", "bought from",
)  # fmt: skip


def as_csv(found: QuerySet[StockPiece], seen: Mapping[str, WoodSeen], *, worth: bool, currency: str) -> Iterator[bytes]:
    """The pieces as a table, a few hundred rows at a time, so that no query stays open while bytes are sent."""
    return parts([*COLUMNS, *([f"worth {currency}"] if worth else [])], _chunks(found, seen, worth=worth))


def _chunks(found: QuerySet[StockPiece], seen: Mapping[str, WoodSeen], *, worth: bool) -> Iterator[list[list[str]]]:
    # Fetched beside the pieces: many of them share a lot, and a lot is made once for all of them.
    found = found.prefetch_related("demand", "lot__delivery__supplier").order_by("pk")
    last = 0
    while rows := list(found.filter(pk__gt=last)[:ROWS_AT_ONCE]):
        last = rows[-1].pk
        yield [_cells(row, seen, worth=worth) for row in rows]


def _cells(piece: StockPiece, seen: Mapping[str, WoodSeen], *, worth: bool) -> list[str]:
    lot = piece.lot
    return [
        piece.mark, seen[piece.wood].name, _mm(piece.thickness), _mm(piece.width), _mm(piece.length),
        "yes" if piece.surfaced else "no", piece.place, piece.set_aside, piece.demand.label if piece.demand else "",
        lot.grade, lot.cut, lot.delivery.on.isoformat(), lot.delivery.supplier.name,
        *([f"{piece.worth.normalize():f}"] if worth else []),
    ]  # fmt: skip


def _mm(length: Length) -> str:
    return decimals(length.mm, 6)
