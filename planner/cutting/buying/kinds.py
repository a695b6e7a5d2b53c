"""Which boards to ask the yard for: the thicknesses and sizes this maker has bought before, else a usual one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from planner.cutting.buying.terms import BoughtBefore
from planner.cutting.fromshop import Cut, Piece, yields_of
from planner.cutting.fromshop.checks import rough_for
from planner.measures import Length
from planner.shop import Shop

# Sizes tried with a plan each; rarer ones are left out.
MOST_KINDS = 6
# Rough thicknesses a yard stocks, in quarters of an inch (hardwood sizes, engineeringtoolbox.com, d_1462).
QUARTERS = (4, 5, 6, 7, 8, 10, 12, 16)
_QUARTER = Length.of_inches("1/4")
# A usual board where nothing was bought yet (common practice, no source), and the steps longer ones come in.
_USUAL = {"mm": (Length.of_mm(150), Length.of_mm(2400), Length.of_mm(100)),
          "in": (Length.of_inches(6), Length.of_inches(96), Length.of_inches(12))}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kind:
    """Boards of one size to be asked for. ``before`` and ``other_wood`` see ``Likely``."""

    wood: str
    nominal: Length
    thickness: Length
    width: Length
    length: Length
    surfaced: bool
    per: str
    before: bool
    other_wood: bool = False

    def as_piece(self) -> Piece:
        return Piece("", self.wood, self.thickness, self.width, self.length, self.surfaced)


def nominal_for(wood: str, milled: Length, past: Sequence[BoughtBefore], shop: Shop) -> Length:
    """The thinnest stock that yields ``milled``: as this wood was bought before, else as any wood was, else the
    thinnest a yard sells by quarters."""
    for lots in ([lot for lot in past if lot.wood == wood], past):
        enough = [lot.nominal for lot in lots if yields_of(_as_piece(lot), shop) >= milled]
        if enough:
            return min(enough)
    need = milled + shop.milling
    return next((_QUARTER * n for n in QUARTERS if _QUARTER * n >= need), need)


def kinds_for(
    wood: str, nominal: Length, milled: Length, cuts: Sequence[Cut], past: Sequence[BoughtBefore], shop: Shop
) -> list[Kind]:
    """Sizes to try, what was bought oftenest first, at least one of them long and wide enough for every one of
    ``cuts``. ``past`` is newest first."""
    fits = [lot for lot in past if lot.nominal == nominal and yields_of(_as_piece(lot), shop) >= milled]
    own = [lot for lot in fits if lot.wood == wood]
    found = _oftenest(own or fits, wood, other=not own)
    return [*found, _usual(wood, nominal, milled, cuts, own or fits or past, shop)]


def _as_piece(lot: BoughtBefore) -> Piece:
    return Piece("", lot.wood, lot.thickness, lot.width, lot.length, lot.surfaced)


def _oftenest(lots: Sequence[BoughtBefore], wood: str, *, other: bool) -> list[Kind]:
    counts: Counter[Kind] = Counter()
    for lot in lots:
        kind = Kind(
            wood, lot.nominal, lot.thickness, lot.width, lot.length, lot.surfaced, lot.per, True, other_wood=other
        )
        counts[kind] += lot.count
    return [kind for kind, _ in counts.most_common(MOST_KINDS)]


def _usual(
    wood: str,
    nominal: Length,
    milled: Length,
    cuts: Sequence[Cut],
    lots: Sequence[BoughtBefore],
    shop: Shop,
) -> Kind:
    """A board of usual size, wider and longer where a part asks for it."""
    width, length, step = _USUAL[shop.unit]
    widths = sorted(lot.width.mm for lot in lots)
    if widths:
        width = Length(widths[len(widths) // 2])
    widest = max(cut.ripped for cut in cuts) + shop.rough_edge_trim
    longest = max(rough_for(cut.length, shop) for cut in cuts) + shop.check_trim * 2
    if longest > length:
        length = step * Fraction(ceil(longest / step))
    thick = max(nominal, milled + shop.milling)
    per = lots[0].per if lots else {"in": "bf", "mm": "m3"}[shop.unit]
    return Kind(wood, nominal, thick, max(width, widest), length, False, per, False)
