"""How far off a tile may be: what a small error on each does to a row of them, and where it goes.

An error of the stop is the same on every tile, so it adds up tile by tile. What is left besides, from tile to tile, is
as often too long as too short; such errors add up as their squares do. Rows are laid from a datum seam near the middle
of the picture, so that either runs out to both ends, into what the rows are left long there.

Source: elementary statistics (the variance of a sum of independent errors is the sum of their variances); the datum
seam is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from planner.cutting.lumber import CuttingError
from planner.figures import Figure, Term
from planner.length import decimals
from planner.measures import ZERO, Length
from planner.shop import Shop

# Of what a row is left long at each end, and of a tile's pitch, an error may take no more: common practice, no source.
OF_LEFT_LONG = Fraction(1, 2)
OF_PITCH = Fraction(1, 20)
# Two standard deviations: about 19 of 20 seams lie within them, where errors are normally spread.
SURE = 2
_STATISTICS = "elementary statistics: variances of independent errors add up"
_DATUM = "laid from a datum seam near the middle: common practice, no source"
# Square roots are rounded up to this.
_FINE = 1000


class ToleranceError(CuttingError):
    """A row, a pitch or an error no tolerance follows from."""


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence and the number in it."""

    words: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What the accuracy of a tile means for a row of ``columns``.

    ``datum`` is the seam rows are laid from, with so many tiles to its left. ``each`` is the most every tile may be
    off by the same amount, ``spread`` the most their lengths may scatter (one standard deviation); ``said`` are the
    sentences to show."""

    columns: int
    datum: int
    each: Figure
    spread: Figure
    said: tuple[Said, ...]


def datum_seam(columns: int) -> int:
    """The seam rows are laid from, counted in tiles from the left: the middle one, or the one just left of it.

    >>> datum_seam(16), datum_seam(15)
    (8, 7)
    """
    return columns // 2


def run_out(each: Length, pieces: int) -> Figure:
    """How much longer a row of ``pieces`` gets when each is longer by ``each``; shorter likewise.

    >>> run_out(Length.of_mm("0.1"), 16).value
    Length('1.6 mm')
    """
    return Figure(
        each * pieces,
        "mm",
        "pieces × the error of each, which is the same on all",
        "arithmetic",
        (
            Term("Pieces", Figure(pieces, "pieces", "laid end to end")),
            Term("Error of each", Figure(each, "mm", "given")),
        ),
    )


def scatter(spread: Length, pieces: int) -> Figure:
    """By how much a row of ``pieces`` scatters (one standard deviation) when each scatters by ``spread`` about its
    right length, whatever the others do: spread × √pieces, rounded up to a thousandth of the spread.

    >>> scatter(Length.of_mm("0.1"), 16).value, scatter(Length.of_mm("0.1"), 2).value
    (Length('0.4 mm'), Length('0.142 mm'))
    """
    return Figure(
        spread * _root(pieces),
        "mm",
        "spread of each × square root of the pieces",
        _STATISTICS,
        (
            Term("Pieces", Figure(pieces, "pieces", "laid end to end")),
            Term("Spread of each", Figure(spread, "mm", "one standard deviation, given")),
        ),
    )


def tolerance(
    columns: int,
    pitch: Length,
    shop: Shop,
    *,
    rows: int = 0,
    error: Length | None = None,
    of_left_long: Fraction = OF_LEFT_LONG,
    of_pitch: Fraction = OF_PITCH,
) -> Tolerance:
    """The tolerance of a row of ``columns`` tiles at ``pitch``, left long at both ends by ``shop.end_trim``.

    ``error`` is what the sentences show the effect of: 0.1 mm where none is given. ``of_left_long`` and ``of_pitch``
    are the shares of what is left long, and of the pitch, an error may take; ``rows`` adds what the gauged width of
    the strips does to the board's height. Raises ToleranceError for no column, no pitch, an error below nought, and
    shares that are not more than nought and at most one.
    """
    error = Length.of_mm("0.1") if error is None else error
    if columns < 1 or pitch <= ZERO or error < ZERO:
        raise ToleranceError(
            "A row has one tile at least, a pitch of more than nought, and an error of nought or more.",
            mend="Mend the board's sizes.",
            field="pitch",
        )
    if not (0 < of_left_long <= 1 and 0 < of_pitch <= 1):
        raise ToleranceError(
            "An error may take a share of more than nought and at most all of what there is.",
            mend="Write a share like 50 %.",
            field="share",
        )
    longer = columns - datum_seam(columns)
    room = _Room(longer, shop.end_trim * of_left_long, pitch * of_pitch, of_left_long, of_pitch)
    each, spread = _most_each(room), _most_spread(room)
    said = _sentences(columns, rows, error, shop)
    return Tolerance(columns, columns - longer, each, spread, (*said, *_allowed(each, spread, room, shop)))


@dataclass(frozen=True, slots=True)
class _Room:
    """What an error has: at an end and at a seam, ``longer`` tiles from the datum, and the shares those are."""

    longer: int
    end: Length
    seam: Length
    of_left_long: Fraction
    of_pitch: Fraction

    @property
    def terms(self) -> tuple[Term, ...]:
        return (
            Term("Room at a seam", Figure(self.seam, "mm", f"{_percent(self.of_pitch)} of the pitch")),
            Term("Tiles on the longer side", Figure(self.longer, "tiles", "from the datum seam to the end")),
        )


def _most_each(room: _Room) -> Figure:
    """The stricter of the two: an end within its share of what is left long, a seam within its share of the pitch.
    Where nothing is left long there is no end to go by."""
    end = Term(
        "Room at an end",
        Figure(room.end, "mm", f"{_percent(room.of_left_long)} of what a row is left long there"),
    )
    return Figure(
        (min(room.end, room.seam) if room.end else room.seam) / room.longer,
        "mm",
        "the smaller room ÷ the tiles on the longer side of the datum seam",
        f"shares are common practice, no source; {_DATUM}",
        (end, *room.terms),
    )


def _most_spread(room: _Room) -> Figure:
    """Two seams above one another, each ``longer`` tiles from the datum, differ by √2 as much as one scatters."""
    return Figure(
        room.seam / (SURE * _root(2 * room.longer)),
        "mm",
        "room at a seam ÷ (2 × square root of twice the tiles from the datum seam)",
        _STATISTICS,
        room.terms,
    )


def _allowed(each: Figure, spread: Figure, room: _Room, shop: Shop) -> tuple[Said, ...]:
    assert isinstance(each.value, Length) and isinstance(spread.value, Length)
    end = f"no end takes more than {_percent(room.of_left_long)} of what is left long there, and " if room.end else ""
    return (
        Said(
            f"So every tile alike may be off by {shop.says(_shown(each.value))}: then {end}no seam stands off by more "
            f"than {_percent(room.of_pitch)} of a tile.",
            each,
        ),
        Said(
            f"And tiles may scatter about their length by {shop.says(_shown(spread.value))}, one standard deviation: "
            f"then 19 of 20 seams at the ends stay within {_percent(room.of_pitch)} of a tile.",
            spread,
        ),
    )


def _sentences(columns: int, rows: int, error: Length, shop: Shop) -> list[Said]:
    datum = datum_seam(columns)
    says = shop.says
    longer = columns - datum
    whole, side = run_out(error, columns), run_out(error, longer)
    loose = scatter(error, columns)
    assert isinstance(whole.value, Length) and isinstance(side.value, Length) and isinstance(loose.value, Length)
    beside = f"{datum} tiles" if datum == longer else f"{datum} and {longer} tiles"
    said = [
        Said(
            f"{says(error)} too long on every tile makes a row of {columns} longer by {says(whole.value)}: an error of "
            "the stop adds up.",
            whole,
        ),
        Said(
            f"{says(error)} now too long, now too short, makes it scatter by {says(loose.value)}: such errors mostly "
            "make up for one another.",
            loose,
        ),
        Said(
            f"Laid from the seam after tile {datum}, {beside} run out to either side, so an end is off by "
            f"{says(side.value)} at the most, instead of {says(whole.value)}."
            if datum
            else "A row of one tile has no seam to be laid from.",
            side,
        ),
    ]
    if datum:
        said.append(
            Said(
                f"A run is cut at a stop of its own: over a row of single tiles that are all off by {says(error)}, the "
                f"seam {longer} tiles from there stands {says(side.value)} off.",
                side,
            )
        )
    if shop.end_trim:
        said.append(
            Said(
                f"What an end is off goes into the {says(shop.end_trim)} the rows are left long there, and comes off "
                "when the ends are cut square.",
                Figure(shop.end_trim, "mm", "left long at each end", "the workshop's allowances"),
            )
        )
    if rows:
        high = run_out(error, rows)
        assert isinstance(high.value, Length)
        said.append(
            Said(
                f"{says(error)} too wide on every gauged strip makes a field of {rows} rows deeper by "
                f"{says(high.value)}; the borders along the rows are cut to size last and take it.",
                high,
            )
        )
    return said


def _percent(share: Fraction) -> str:
    return f"{decimals(share * 100)} %"


def _shown(length: Length) -> Length:
    """Rounded down to a hundredth of a millimetre, finer than which nothing here is measured."""
    step = Length.of_mm("0.01")
    return step * int(length / step)


def _root(number: int) -> Fraction:
    """The square root, rounded up to a thousandth; exact for a square number."""
    scaled = number * _FINE * _FINE
    root = isqrt(scaled)
    return Fraction(root if root * root == scaled else root + 1, _FINE)
