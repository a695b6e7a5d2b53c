"""Exact lengths, areas, volumes and board feet, and the reading and printing of what people type.

Nothing here is a float: a length is a fraction of a millimetre from the form to the drawing, so 3/8" stays
3/8" and 152 of them are 57". One inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from functools import total_ordering

from planner.errors import PlannerError

MM_PER_INCH = Fraction(254, 10)
NM_PER_MM = 1_000_000
# 1 board foot = 144 cubic inches (measure of sawn hardwood; American Hardwood Export Council, "Measurement").
MM3_PER_BOARD_FOOT = 144 * MM_PER_INCH**3
LONGEST_TYPED = 40


class MeasureError(PlannerError):
    """Something typed is not the measure that was expected."""


@total_ordering
class Length:
    """An exact length in millimetres.

    >>> Length.of_inches("3/8").mm
    Fraction(381, 40)
    >>> (Length.of_inches("3/8") * 152).inches
    Fraction(57, 1)
    """

    __slots__ = ("mm",)
    mm: Fraction

    def __init__(self, mm: Fraction) -> None:
        object.__setattr__(self, "mm", mm)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a length never changes; make another one")

    @classmethod
    def of_mm(cls, value: int | str | Fraction) -> Length:
        return cls(Fraction(value))

    @classmethod
    def of_inches(cls, value: int | str | Fraction) -> Length:
        return cls(Fraction(value) * MM_PER_INCH)

    @classmethod
    def from_nm(cls, value: int) -> Length:
        return cls(Fraction(value, NM_PER_MM))

    @property
    def nm(self) -> int:
        """Whole nanometres, as a length is kept. Raises MeasureError for a finer one, naming the nearest."""
        exact = self.mm * NM_PER_MM
        if exact.denominator != 1:
            nearest = Length.from_nm(round(exact))
            raise MeasureError(
                "This length is finer than a nanometre and cannot be kept exactly.",
                mend=f"The nearest that can is {nearest.mm.numerator / nearest.mm.denominator:.6f} mm.",
            )
        return exact.numerator

    @property
    def inches(self) -> Fraction:
        return self.mm / MM_PER_INCH

    def __add__(self, other: Length) -> Length:
        return Length(self.mm + other.mm) if isinstance(other, Length) else NotImplemented

    def __radd__(self, other: object) -> Length:
        # sum() starts from the integer nought.
        return self if other == 0 else NotImplemented

    def __sub__(self, other: Length) -> Length:
        return Length(self.mm - other.mm) if isinstance(other, Length) else NotImplemented

    def __mul__(self, other: int | Fraction) -> Length:
        return Length(self.mm * other) if isinstance(other, (int, Fraction)) else NotImplemented

    __rmul__ = __mul__

    def __truediv__(self, other: object) -> Fraction | Length:
        if isinstance(other, Length):
            return self.mm / other.mm
        if isinstance(other, (int, Fraction)):
            return Length(self.mm / other)
        return NotImplemented

    def __neg__(self) -> Length:
        return Length(-self.mm)

    def __bool__(self) -> bool:
        return bool(self.mm)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Length) and self.mm == other.mm

    def __lt__(self, other: Length) -> bool:
        return self.mm < other.mm if isinstance(other, Length) else NotImplemented

    def __hash__(self) -> int:
        return hash(("Length", self.mm))

    def __repr__(self) -> str:
        return f"Length('{format_length(self, 'mm')}')"

    def __reduce__(self) -> tuple[type[Length], tuple[Fraction]]:
        return (Length, (self.mm,))


ZERO = Length(Fraction(0))


# --- reading what people type -------------------------------------------------------------------------------

_VULGAR = {c: unicodedata.numeric(c) for c in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_FRACTION = re.compile(r"(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*/\s*(\d+)")
_UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "foot": 12 * MM_PER_INCH,
    "feet": 12 * MM_PER_INCH,
    "'": 12 * MM_PER_INCH,
}
_UNIT_AT_END = re.compile(r"(mm|cm|m|inches|inch|in|feet|foot|ft|''|\"|')$")
_FEET_FIRST = re.compile(r"^(\d+)\s*(?:'|ft|feet|foot)\s*-?\s*(.+)$")
_EXPECTED = {
    "mm": 'Write it like 19, 19,5 or 19 mm, or in inches like 3/4".',
    "in": 'Write it like 3/4, 1 1/4 or 0.75", or in millimetres like 19 mm.',
}


def parse_length(text: str, default_unit: str = "mm", *, allow_zero: bool = False) -> Length:
    """The exact length somebody typed; a bare number is in ``default_unit`` ("mm" or "in").

    Raises MeasureError for anything else, for a negative, and for zero unless ``allow_zero``.

    >>> parse_length('1-1/4"').mm, parse_length("2' 3-1/2\\"").inches, parse_length("19,5").mm
    (Fraction(127, 4), Fraction(55, 2), Fraction(39, 2))
    """
    expected = _EXPECTED[default_unit]
    typed = _tidy(text, "a length", expected)
    lowered = typed.lower().replace("''", '"')
    if feet := _FEET_FIRST.match(lowered):
        rest = feet[2].strip()
        unit_of_rest = _UNIT_AT_END.search(rest)
        if unit_of_rest is not None and _UNITS[unit_of_rest[0]] != MM_PER_INCH:
            raise MeasureError(f"“{typed}” mixes units.", mend=expected)
        inches = _number(rest[: unit_of_rest.start()] if unit_of_rest else rest, typed, expected)
        mm = int(feet[1]) * _UNITS["ft"] + inches * MM_PER_INCH
    else:
        unit = _UNIT_AT_END.search(lowered)
        bare = lowered[: unit.start()] if unit else lowered
        mm = _number(bare, typed, expected) * _UNITS[unit[0] if unit else default_unit]
    if mm == 0 and not allow_zero:
        raise MeasureError(f"“{typed}” is no length.", mend="It must be more than nought.")
    return Length(mm)


def parse_count(text: str, *, least: int = 0, most: int | None = None) -> int:
    """A whole number within its limits.

    >>> parse_count(" 12 ", least=1)
    12
    """
    wanted = f"from {least} to {most}" if most is not None else f"of at least {least}"
    typed = _tidy(text, "a number", f"Write a whole number {wanted}.")
    if not re.fullmatch(r"\d{1,9}", typed):
        raise MeasureError(f"“{typed}” is not a whole number.", mend=f"Write a whole number {wanted}.")
    return int(_within(Fraction(int(typed)), Fraction(least), None if most is None else Fraction(most), typed, ""))


def parse_number(text: str, *, least: int | Fraction | None = None, most: int | Fraction | None = None) -> Fraction:
    """An exact decimal number or fraction within its limits.

    >>> parse_number("2,5")
    Fraction(5, 2)
    """
    expected = "Write a number like 12 or 2.5."
    typed = _tidy(text, "a number", expected)
    return _within(_number(typed, typed, expected), least, most, typed, "")


def parse_percent(text: str, *, least: int | Fraction = 0, most: int | Fraction | None = None) -> Fraction:
    """A percentage as a share; the sign may be typed or left out. Limits are in percent.

    >>> parse_percent("25 %")
    Fraction(1, 4)
    """
    expected = "Write a percentage like 25 or 12.5 %."
    typed = _tidy(text, "a percentage", expected)
    bare = typed[:-1].strip() if typed.endswith("%") else typed
    return _within(_number(bare, typed, expected), least, most, typed, " %") / 100


def parse_money(text: str, *, exponent: int = 2) -> Decimal:
    """An amount of money with at most ``exponent`` decimals. A symbol in front or behind is not read.

    >>> parse_money("12,50")
    Decimal('12.50')
    """
    example = "12" if exponent == 0 else "12." + "5".ljust(exponent, "0")
    expected = f"Write an amount like {example}, without a sign for thousands."
    typed = _tidy(text, "an amount", expected)
    amount = _number(typed, typed, expected, fractions=False)
    scaled = amount * 10**exponent
    if scaled.denominator != 1:
        raise MeasureError(f"“{typed}” has too many decimals.", mend=expected)
    return Decimal(scaled.numerator).scaleb(-exponent)


def _tidy(text: str, what: str, expected: str) -> str:
    """The text with odd spaces, primes and vulgar fractions made plain, or why it is none."""
    if not isinstance(text, str) or not text.strip():
        raise MeasureError(f"Nothing is written where {what} belongs.", mend=expected)
    if len(text) > LONGEST_TYPED:
        raise MeasureError(f"That is too long for {what}.", mend=expected)
    plain = text.replace("″", '"').replace("”", '"').replace("“", '"').replace("′", "'").replace("’", "'")
    plain = plain.replace("⁄", "/").replace("−", "-").replace("–", "-")
    for mark in _VULGAR:
        if mark in plain:
            value = Fraction(unicodedata.numeric(mark)).limit_denominator(12)
            plain = plain.replace(mark, f" {value}")
    plain = " ".join(plain.split())
    if not plain.isascii():
        raise MeasureError(f"“{text.strip()}” is not {what}.", mend=expected)
    return plain


def _number(text: str, typed: str, expected: str, *, fractions: bool = True) -> Fraction:
    """A decimal or a fraction; refuses signs, exponents and marks that could mean thousands."""
    text = text.strip()
    if re.match(r"^-\s*[\d.,]", text):
        raise MeasureError(f"“{typed}” is less than nought.", mend=expected)
    if fractions and (match := _FRACTION.fullmatch(text)):
        whole, over, under = int(match[1] or 0), int(match[2]), int(match[3])
        if under == 0:
            raise MeasureError(f"“{typed}” divides by nought.", mend=expected)
        return whole + Fraction(over, under)
    if re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+[.,]\d+|\d{1,3}(?:[.,]\d{3}){2,}|\d{1,3},\d{3}", text) and not re.fullmatch(
        r"0,\d{3}", text
    ):
        raise MeasureError(
            f"“{typed}” could be read two ways: a mark for thousands or for decimals.",
            mend="Write it without a mark for thousands and with a full stop for decimals.",
        )
    if not _DECIMAL.fullmatch(text):
        raise MeasureError(f"“{typed}” cannot be read.", mend=expected)
    return Fraction(text.replace(",", "."))


def _within(
    value: Fraction, least: int | Fraction | None, most: int | Fraction | None, typed: str, unit: str
) -> Fraction:
    if least is not None and value < least:
        raise MeasureError(f"“{typed}” is too small.", mend=f"The least is {_plain(Fraction(least))}{unit}.")
    if most is not None and value > most:
        raise MeasureError(f"“{typed}” is too large.", mend=f"The most is {_plain(Fraction(most))}{unit}.")
    return value


def _plain(value: Fraction) -> str:
    return str(round_half_up(value, 3).normalize()) if value.denominator != 1 else str(value.numerator)


# --- printing and measuring ---------------------------------------------------------------------------------


def format_length(length: Length, unit: str, *, with_unit: bool = True) -> str:
    """A length as the shop writes it: millimetres to at most three decimals, inches as a fraction down to
    64ths where it is one, else to three decimals.

    >>> format_length(Length.of_mm("19.50"), "mm"), format_length(Length.of_inches("5/4"), "in")
    ('19.5 mm', '1 1/4 in')
    """
    if unit == "mm":
        text = _decimals(length.mm)
    else:
        inches = length.inches
        text = _mixed(inches) if 64 % inches.denominator == 0 else _decimals(inches)
    return f"{text} {unit}" if with_unit else text


def _decimals(value: Fraction) -> str:
    text = f"{round_half_up(value, 3):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _mixed(value: Fraction) -> str:
    sign, value = ("-", -value) if value < 0 else ("", value)
    whole, rest = divmod(value, 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def area_mm2(a: Length, b: Length) -> Fraction:
    """Square millimetres, exact."""
    return a.mm * b.mm


def volume_mm3(a: Length, b: Length, c: Length) -> Fraction:
    """Cubic millimetres, exact."""
    return a.mm * b.mm * c.mm


def board_feet(volume: Fraction) -> Fraction:
    """Board feet in a volume of ``volume`` mm³: 144 cubic inches each.

    >>> board_feet(volume_mm3(Length.of_inches(1), Length.of_inches(9), Length.of_inches(96)))
    Fraction(6, 1)
    """
    return volume / MM3_PER_BOARD_FOOT


def cubic_metres(volume: Fraction) -> Fraction:
    return volume / 10**9


def square_metres(area: Fraction) -> Fraction:
    return area / 10**6


def round_half_up(value: Fraction | Decimal, exponent: int) -> Decimal:
    """``value`` to ``exponent`` decimals, a half away from nought: the one rounding rule for money and print.

    >>> round_half_up(Fraction(1, 8), 2)
    Decimal('0.13')
    """
    exact = Fraction(value)
    scaled = abs(exact) * 10**exponent
    whole = int(scaled + Fraction(1, 2))
    return Decimal(whole if exact >= 0 else -whole).scaleb(-exponent)
