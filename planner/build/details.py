"""What is done to a board once it is cut to size: edges, grips and handles, a groove, feet, a hanger, mark, dedication.

Each has its minutes, its hardware and the border it needs, clear of the picture and of weak seams. Sizes, minutes and
prices are assumptions (from memory and common practice, no source); minutes and prices are the maker's to put right
(``Shop.details``). Places are those of the finished board as it is laid: x along the rows, y from the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.build.board import Build
from planner.build.detailkinds import DETAILS, DetailKind
from planner.build.spec import BuildError
from planner.build.words import BORDERS
from planner.figures import Figure, Term
from planner.measures import ZERO, Length
from planner.shop import Shop

_mm = Length.of_mm
# A screw keeps so far from a glue line or an edge of its piece, and from a weak seam's line so far that the long grain
# which carries the seam stays whole across it.
CLEAR = _mm(6)
SEAM_CLEAR = _mm(3)
# Wood left under the point of a screw.
UNDER_SCREW = _mm(3)
# A hanger and its screws are taken for so many times the board's mass.
LOAD_TIMES = 4
# Sides of the board as it is laid, and where they hang.
_HANGS: Mapping[str, Mapping[str, str]] = {
    "rows": {"first": "top", "last": "bottom", "start": "left", "end": "right"},
    "columns": {"first": "left", "last": "right", "start": "bottom", "end": "top"},
}
_ALONG_ROWS = ("first", "last")
_ALL = ("first", "last", "start", "end")
EDGES = ("chamfer", "round")


@dataclass(frozen=True, slots=True)
class Screw:
    """The middle of a screw, on the finished board as it is laid."""

    x: Length
    y: Length


@dataclass(frozen=True, slots=True)
class Detail:
    """One detail of one board: ``minutes`` for it, so many pieces of hardware at ``price`` each, and ``where`` it is in
    words. ``screws`` are where they are clear of picture and weak seams."""

    key: str
    words: str
    where: str
    minutes: Figure
    hardware: int
    price: Decimal
    screws: tuple[Screw, ...] = ()


def details_of(board: Build) -> tuple[Detail, ...]:
    """The details ``board.spec`` asks for, in the order they are offered.

    Raises BuildError with field "details" for one that is not known, not meant for the board's use, or does not fit,
    and says which border would do.
    """
    return tuple(_detail(kind, board) for kind in _fitting(board))


def detail_minutes(board: Build) -> Fraction:
    """Planned minutes of one board's details; errors as in ``details_of``, but that no place is looked for for screws,
    which takes a while on a large board."""
    return sum((_value(_minutes(kind, board)) for kind in _fitting(board)), Fraction(0))


def _fitting(board: Build) -> list[DetailKind]:
    asked = board.spec.details
    if unknown := [key for key in asked if key not in DETAILS]:
        raise _refused(f"There is no detail called “{unknown[0]}”.", f"Choose among {', '.join(DETAILS)}.")
    kinds = [kind for key, kind in DETAILS.items() if key in asked]
    _check_use(kinds, board)
    _check_pairs(asked)
    _check_thickness(kinds, board)
    _check_borders(kinds, board)
    return kinds


def rate_of(kind: DetailKind, shop: Shop) -> tuple[Fraction, Decimal, str]:
    """Minutes each, price of one piece of hardware, and where the two are from."""
    for key, minutes, price in shop.details:
        if key == kind.key:
            return minutes, price, "the workshop's settings"
    return kind.minutes, kind.price, "the default, an assumption: write your own in the workshop's settings"


def _refused(words: str, mend: str) -> BuildError:
    return BuildError(words, mend=mend, field="details")


# --- what is refused ------------------------------------------------------------------------------------------


def _check_use(kinds: Sequence[DetailKind], board: Build) -> None:
    for kind in kinds:
        if board.spec.use not in kind.uses:
            raise _refused(
                f"{kind.words}: not for a board made to {_USES[board.spec.use]}.",
                f"It is for one made {kind.for_whom}.",
            )
        if kind.screw and board.panels:
            raise _refused(
                f"{kind.words}: its screws would go into end grain, which holds them poorly.",
                "Leave it out, or build the board of rows, grain along them.",
            )
        if kind.key == "hanger" and board.spec.along == "columns":
            _check_hung_across_seams(board)


_USES = {"wall": "hang on a wall", "serving": "serve dry food on", "trivet": "stand hot things on"}


def _check_hung_across_seams(board: Build) -> None:
    """Where rows stand upright the board's weight hangs across their seams."""
    if board.weakest is not None and board.weakest.share < board.shop.least_carried:
        raise _refused(
            "Hanger: rows stand upright, so the board would hang across seams that too little long grain carries.",
            "Let the rows run from side to side, or mend the weak seams first.",
        )


def _check_pairs(asked: Iterable[str]) -> None:
    for one, other in (EDGES, ("handles", "grips")):
        if one in asked and other in asked:
            raise _refused(
                f"“{DETAILS[one].words}” and “{DETAILS[other].words}” are in each other's place.", "Choose one of them."
            )


def _check_thickness(kinds: Sequence[DetailKind], board: Build) -> None:
    thickness, says = board.spec.thickness, board.shop.says
    for kind in kinds:
        if kind.key in EDGES and kind.size * 2 > thickness:
            raise _refused(
                f"{kind.words} of {says(kind.size)} take more than half of the board's {says(thickness)}.",
                f"Make it at least {says(kind.size * 2)} thick.",
            )
        if kind.depth and kind.depth * kind.of_thickness > thickness:
            raise _refused(
                f"{kind.words}: {says(kind.depth)} deep is more than {_SHARES[kind.of_thickness]} of the board's "
                f"{says(thickness)}.",
                f"Make it at least {says(kind.depth * kind.of_thickness)} thick.",
            )
        if kind.screw and kind.screw + UNDER_SCREW > thickness:
            raise _refused(
                f"{kind.words}: screws {says(kind.screw)} deep would come through a board of {says(thickness)}.",
                f"Make it at least {says(kind.screw + UNDER_SCREW)} thick.",
            )


_SHARES = {2: "half", 3: "a third"}


def _check_borders(kinds: Sequence[DetailKind], board: Build) -> None:
    """On each surface of each border the details there need their widths side by side."""
    hangs = _HANGS[board.spec.along]
    for side in _ALL:
        width = board.spec.end_border if side in _ALONG_ROWS else board.spec.side_border
        for surface in ("face", "back"):
            there = [kind for kind in kinds if surface in kind.surfaces and side in _sides_of(kind, board)]
            needed = sum((kind.border for kind in there), ZERO)
            if needed > width:
                raise _refused(_too_narrow(there, hangs[side], width, board), _wider(there, side, needed, board))


def _too_narrow(there: Sequence[DetailKind], hangs: str, width: Length, board: Build) -> str:
    names = " and ".join(kind.words.lower() if n else kind.words for n, kind in enumerate(there))
    has = f"is {board.shop.says(width)} wide" if width else "is not there"
    where = f"The {hangs} border {has}"
    return f"{names}: no room clear of the picture. {where}."


def _wider(there: Sequence[DetailKind], side: str, needed: Length, board: Build) -> str:
    borders = BORDERS[board.spec.along][1 if side in _ALONG_ROWS else 0]
    mend = f"Make the {borders} at least {board.shop.says(needed)} each"
    if any(kind.place == "strong" for kind in there):
        mend += ", for handles belong in the borders along the rows, never at the ends of them"
    return mend + f", or leave {'it' if len(there) == 1 else 'one'} out."


def _sides_of(kind: DetailKind, board: Build) -> tuple[str, ...]:
    """The borders as laid that a kind takes room in."""
    if kind.place == "strong":
        return _ALONG_ROWS
    if kind.place == "all":
        return _ALL
    return tuple(side for side, hangs in _HANGS[board.spec.along].items() if hangs == kind.place)


# --- what fits ------------------------------------------------------------------------------------------------


def _detail(kind: DetailKind, board: Build) -> Detail:
    _, price, _ = rate_of(kind, board.shop)
    screws = tuple(_screws(kind, board))
    return Detail(kind.key, kind.words, _where(kind, board), _minutes(kind, board), kind.hardware, price, screws)


def _minutes(kind: DetailKind, board: Build) -> Figure:
    each, _, source = rate_of(kind, board.shop)
    amount, rule = _amount(kind, board)
    return Figure(
        amount.value * each if isinstance(amount.value, Fraction) else each,
        "min",
        rule,
        source,
        (Term(kind.counted, amount), Term("Minutes each", Figure(each, "min each", "as set", source))),
    )


def _value(figure: Figure) -> Fraction:
    assert isinstance(figure.value, Fraction)
    return figure.value


def _amount(kind: DetailKind, board: Build) -> tuple[Figure, str]:
    around = (board.finished_length + board.finished_height) * 2
    if kind.by == "metre":
        # Edges of both faces; a groove runs once around, within the borders.
        if kind.key in EDGES:
            return Figure(around.mm * 2 / 1000, "m", "once around each face"), "metres of edge × minutes a metre"
        inside = around - (kind.inset * 2 + kind.size) * 4
        return Figure(inside.mm / 1000, "m", "along its middle, once around"), "metres of groove × minutes a metre"
    if kind.by == "piece":
        return Figure(Fraction(kind.pieces), "pieces", "of one board"), "pieces × minutes apiece"
    return Figure(Fraction(1), "boards", "once for each board"), "minutes a board"


def _where(kind: DetailKind, board: Build) -> str:
    names, says = BORDERS[board.spec.along], board.shop.says
    filled = {"strong": names[1], "size": says(kind.size), "depth": says(kind.depth), "inset": says(kind.inset)}
    return kind.where.format(**filled)


def _screws(kind: DetailKind, board: Build) -> Iterator[Screw]:
    """Where a kind's screws go: each wholly in one piece, clear of the picture and of every weak seam's line. Moved
    along the border by whole millimetres, up to one pitch either way, where the first place is not clear."""
    if not kind.screw:
        return
    for side in _sides_of(kind, board):
        long = board.finished_length if side in _ALONG_ROWS else board.finished_height
        for pattern in _groups(kind, long):
            yield from _clear(kind, board, side, pattern, long)


def _groups(kind: DetailKind, long: Length) -> list[tuple[Length, ...]]:
    """Screws that move together, as places along a border of that length."""
    if kind.key == "handles":
        middle = long / 2
        return [(middle - kind.size / 2, middle + kind.size / 2)]
    # Feet and hangers: one near each end.
    return [(kind.inset,), (long - kind.inset,)]


def _clear(kind: DetailKind, board: Build, side: str, group: tuple[Length, ...], long: Length) -> Iterator[Screw]:
    depth = kind.border / 2
    for step in range(int(board.spec.pitch.mm) + 1):
        for way in (1, -1):
            moved = [at + _mm(step * way) for at in group]
            spots = [_spot(board, side, at, depth) for at in moved]
            if all(CLEAR < at < long - CLEAR for at in moved) and all(_is_clear(board, *spot) for spot in spots):
                yield from (Screw(x, y) for x, y in spots)
                return
    raise _refused(
        f"{kind.words}: there is no place for the screws in the {_HANGS[board.spec.along][side]} border that is clear "
        "of joints and weak seams.",
        "Carry the seams by more long grain, choose a wider pitch or a longer board, or leave it out.",
    )


def _spot(board: Build, side: str, at: Length, depth: Length) -> tuple[Length, Length]:
    """``at`` along the border, ``depth`` in from the board's edge."""
    return {
        "first": (at, depth),
        "last": (at, board.finished_height - depth),
        "start": (depth, at),
        "end": (board.finished_length - depth, at),
    }[side]


def _is_clear(board: Build, x: Length, y: Length) -> bool:
    spec = board.spec
    for seam in board.seams:
        if seam.share < board.shop.least_carried:
            line = spec.side_border + spec.pitch * seam.column
            if line - SEAM_CLEAR < x < line + SEAM_CLEAR:
                return False
    left = (board.blank_length - board.finished_length) / 2
    top = (board.blank_height - board.finished_height) / 2
    for piece in board.placed:
        a, b = piece.x - left, piece.y - top
        if a <= x <= a + piece.length and b <= y <= b + piece.width:
            return a + CLEAR <= x <= a + piece.length - CLEAR and b + CLEAR <= y <= b + piece.width - CLEAR
    return False


def load_of(mass: Figure) -> Figure:
    """What a hanger and its screws are to be good for, of a board's mass: a figure in the mass's own unit."""
    return Figure(
        _value(mass) * LOAD_TIMES,
        mass.unit,
        f"the board's mass × {LOAD_TIMES}; the hanger's maker and the wall's fixing must each say they bear it",
        "common practice, no source",
        (Term("One board weighs", mass),),
    )
