"""The shop as the arithmetic sees it: kerfs, allowances, and the maker's own safe limits.

Every default is a starting assumption of common practice with no source unless a source stands beside it; the
maker's entry rules, and the machine's manual before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import Length, format_length

_mm = Length.of_mm


@dataclass(frozen=True, slots=True)
class Shop:
    """Lengths are exact; shares are fractions of one."""

    # What the blade turns to dust. A full-kerf table-saw blade takes about 1/8 in (from memory).
    crosscut_kerf: Length = _mm(3)
    rip_kerf: Length = _mm(3)
    # Thickness of the glue between two faces: 0.002 to 0.006 in for most woodworking adhesives
    # (E. Wengert, Wood Doctor, woodworkingnetwork.com); the middle of it here.
    glue_line: Length = _mm("0.1")
    # How much wider than its gauged size every strip is ripped, so that all woods come to one size at one setting.
    gauge_allowance: Length = _mm("0.5")
    # Taken off each long edge of a row, or of the field, when it is dressed before gluing.
    dressing: Length = _mm("0.2")
    # How long a row is left at each end, until both ends are cut square after joining.
    end_trim: Length = _mm(5)
    # How wide the blank is left at its top and bottom edge, until it is cut to size.
    edge_trim: Length = _mm(3)
    # Off the thickness when the glued-up blank is flattened, both faces together.
    flattening: Length = _mm(1)
    # From rough to milled thickness at the least, both faces together.
    milling: Length = _mm(3)
    # Lost at each end of a rough length: checks, snipe, squaring.
    rough_end_trim: Length = _mm(25)
    # Lost off a rough length's width when its edges are straightened.
    rough_edge_trim: Length = _mm(6)
    # The end of every strip that stays in the hand or under the hold-down and is never cut into parts.
    grip: Length = _mm(100)
    # The longest rough length the maker rips.
    longest_rip: Length = _mm(1200)
    # Nothing shorter goes through jointer or planer: 12 in (a teacher's rules, thecraftsmanspath.com, 2009);
    # HSE advice for its planers: another way for less than 300 mm. The machine's manual comes first.
    shortest_machined: Length = _mm(305)
    # The narrowest strip ripped between blade and fence, and the thinnest stock planed.
    narrowest_strip: Length = _mm(10)
    thinnest_planed: Length = _mm(6)
    # Share of small pieces spoiled in cutting and laying, and how sure enough stay good.
    spoil_rate: Fraction = Fraction(2, 100)
    spare_confidence: Fraction = Fraction(95, 100)
    # Share of the board's height that long grain should carry across every seam, else the maker is warned.
    least_carried: Fraction = Fraction(1, 4)
    # Off each end of a bought board, where it has checked in drying: 1 to 3 in is usual (from memory).
    check_trim: Length = _mm(25)
    # Off each end of every rough length once it is planed: the dip a planer's rollers leave (from memory; measure
    # yours, and see the machine's manual for setting it).
    snipe: Length = _mm(25)
    # Rough lengths are measured out in steps of this, so that a tape finds them.
    rough_step: Length = _mm(5)
    # Whether thick stock is sawn through its thickness into two layers, what that blade takes (a band saw about 1 mm,
    # from memory; 2 mm with what it wanders), and the widest board that stands under the guide.
    resaw: bool = False
    resaw_kerf: Length = _mm(2)
    tallest_resaw: Length = _mm(150)
    # The least an offcut measures to go back to the rack; below the shortest length machined it could not be used.
    shortest_kept: Length = _mm(305)
    narrowest_kept: Length = _mm(30)
    # Share of what its area cost that an offcut is credited: it may lie for years, or never be used.
    offcut_share: Fraction = Fraction(1, 2)
    # The spacer between stop and wood, taken away before the cut so that nothing lies loose between blade and stop.
    stand_off: Length = _mm(25)
    # The widest bundle of strips the hold-down of the sled takes side by side at one crosscut; 0 for one strip alone.
    hold_down: Length = _mm(0)
    # The finest step the scales of fence and stop are read to: half a millimetre by eye (from memory).
    saw_scale: Length = _mm("0.5")
    # How deep the saw cuts at its highest: a 10 in blade about 3 1/8 in (from memory; the saw's manual has yours).
    tallest_cut: Length = _mm(75)
    # Of a detail of a board its key, minutes each and the price of one piece of its hardware; one left out keeps what
    # is assumed (``planner.build.DETAILS``).
    details: tuple[tuple[str, Fraction, Decimal], ...] = ()
    # What the shop writes lengths in, "mm" or "in"; only words depend on it.
    unit: str = "mm"

    def says(self, length: Length) -> str:
        """A length in the shop's own unit, for a sentence."""
        return format_length(length, self.unit)


@dataclass(frozen=True, slots=True)
class StockSize:
    """The usual rough stock of one wood: thickness and width as bought."""

    thickness: Length
    width: Length
