"""Measures: what people type, read exactly, and areas, volumes and board feet.

Lengths themselves and their printing are in planner.length; every name of both is taken from here.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from planner.length import (
    MM_PER_INCH,
    ZERO,
    Length,
    MeasureError,
    decimals,
    format_length,
    length_as_typed,
    round_half_up,
)

__all__ = [
    "MM_PER_INCH",
    "ZERO",
    "Length",
    "MeasureError",
    "area_mm2",
    "board_feet",
    "cubic_metres",
    "format_length",
    "length_as_typed",
    "parse_count",
    "parse_length",
    "parse_money",
    "parse_number",
    "parse_percent",
    "round_half_up",
    "square_metres",
    "volume_mm3",
]

# 1 board foot = 144 cubic inches (measure of sawn hardwood; American Hardwood Export Council, "Measurement").
MM3_PER_BOARD_FOOT = 144 * MM_PER_INCH**3
LONGEST_TYPED = 40  # characters
LONGEST_MM = 1_000_000  # a kilometre: more than any board, and well inside what a database can keep
LARGEST_NUMBER = 10**12
LARGEST_COUNT = 10**9


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


# --- reading what people type -------------------------------------------------------------------------------

_VULGAR = {
    **{"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"},
    **{"⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6"},
}
# Other keyboards' marks for inches, feet, a fraction's stroke and a minus.
_PLAIN = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "⁄": "/", "−": "-", "–": "-"}
    | {mark: f" {fraction} " for mark, fraction in _VULGAR.items()}
)
_HYPHEN_BEFORE_VULGAR = re.compile(rf"(?<=\d)[-–](?=[{''.join(_VULGAR)}])")
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_FRACTION = re.compile(r"(?:(\d+)(?:\s+|-))?(\d+)\s*/\s*(\d+)")
# 1,234 and 1.234,5 and 1.234.567: a mark for thousands or for decimals? 1.234 is read: a full stop is decimals.
_TWO_WAYS = re.compile(r"\d{1,3}(?:[.,]\d{3})+[.,]\d+|\d{1,3}(?:[.,]\d{3}){2,}|(?!0,)\d{1,3},\d{3}")
_UNITS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
    **dict.fromkeys(("in", "in.", "inch", "inches", '"'), MM_PER_INCH),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'"), 12 * MM_PER_INCH),
}
_ANY_UNIT = "|".join(re.escape(unit) for unit in sorted(_UNITS, key=len, reverse=True))
_UNIT_AT_END = re.compile(rf"({_ANY_UNIT})$")
_UNIT_INSIDE = re.compile(rf"\d\s*(?:{_ANY_UNIT})(?![a-z])")
_FEET_FIRST = re.compile(r"(\d+)\s*(?:'|ft\.?|feet|foot)\s*-?\s*(\S.*)")
_EXPECTED = {
    "mm": 'Write it like 19, 19,5 or 19 mm, or in inches like 3/4".',
    "in": 'Write it like 3/4, 1 1/4 or 0.75", or in millimetres like 19 mm.',
}


def parse_length(text: str, default_unit: str = "mm", *, allow_zero: bool = False) -> Length:
    """The exact length somebody typed; a bare number is in ``default_unit`` ("mm" or "in").

    Raises MeasureError for anything else, for a negative, for more than a kilometre, and for zero unless
    ``allow_zero``. A comma is a decimal mark, but 1,234 could be thousands and is refused.

    >>> parse_length('1-1/4"').mm, parse_length("2' 3-1/2\\"").inches, parse_length("19,5").mm
    (Fraction(127, 4), Fraction(55, 2), Fraction(39, 2))
    """
    expected = _EXPECTED[default_unit]
    plain = _tidy(text, "a length", expected)
    typed = text.strip()
    lowered = plain.lower().replace("''", '"')
    if feet := _FEET_FIRST.fullmatch(lowered):
        bare, unit = _without_unit(feet[2], typed, expected)
        if unit not in ("", '"', "in", "in.", "inch", "inches"):
            raise MeasureError(f"“{typed}” carries two units.", mend=expected)
        inches = _number(bare, typed, expected)
        if inches >= 12:
            raise MeasureError(
                f"“{typed}” has a foot or more after the feet.", mend="Write fewer than 12 inches there."
            )
        mm = (12 * int(feet[1]) + inches) * MM_PER_INCH
    else:
        bare, unit = _without_unit(lowered, typed, expected)
        mm = _number(bare, typed, expected) * _UNITS[unit or default_unit]
    if mm == 0 and not allow_zero:
        raise MeasureError(f"“{typed}” is no length.", mend="It must be more than nought.")
    if mm > LONGEST_MM:
        raise MeasureError(f"“{typed}” is longer than a kilometre.", mend=expected)
    return Length(mm)


def _without_unit(text: str, typed: str, expected: str) -> tuple[str, str]:
    unit = _UNIT_AT_END.search(text)
    bare = text[: unit.start()] if unit else text
    if unit and _UNIT_INSIDE.search(bare):
        raise MeasureError(f"“{typed}” carries two units.", mend=expected)
    return bare, unit[0] if unit else ""


def parse_count(text: str, *, least: int = 0, most: int | None = None) -> int:
    """A whole number within its limits.

    >>> parse_count(" 12 ", least=1)
    12
    """
    wanted = f"from {least} to {most}" if most is not None else f"of at least {least}"
    expected = f"Write a whole number {wanted}, in digits only."
    plain = _tidy(text, "a number", expected)
    typed = text.strip()
    if not re.fullmatch(r"\d+", plain):
        raise MeasureError(f"“{typed}” is not a whole number.", mend=expected)
    return int(_within(Fraction(int(plain)), least, LARGEST_COUNT if most is None else most, typed, ""))


def parse_number(text: str, *, least: int | Fraction | None = None, most: int | Fraction | None = None) -> Fraction:
    """An exact decimal number or fraction within its limits; never negative.

    >>> parse_number("2,5")
    Fraction(5, 2)
    """
    expected = "Write a number like 12 or 2.5."
    plain = _tidy(text, "a number", expected)
    typed = text.strip()
    return _within(_number(plain, typed, expected), least, most, typed, "")


def parse_percent(text: str, *, least: int | Fraction = 0, most: int | Fraction | None = None) -> Fraction:
    """A percentage as a share; the sign may be typed or left out. Limits are in percent.

    >>> parse_percent("25 %")
    Fraction(1, 4)
    """
    expected = "Write a percentage like 25 or 12.5 %."
    plain = _tidy(text, "a percentage", expected)
    typed = text.strip()
    return _within(_number(plain.removesuffix("%"), typed, expected), least, most, typed, " %") / 100


def parse_money(text: str, *, exponent: int = 2) -> Decimal:
    """An amount of money with at most ``exponent`` decimals, without a currency sign; never negative.

    >>> parse_money("12,50")
    Decimal('12.50')
    """
    example = "12" if exponent == 0 else "12." + "5".ljust(exponent, "0")
    expected = f"Write an amount like {example}: no currency sign, no mark for thousands."
    plain = _tidy(text, "an amount", expected)
    typed = text.strip()
    amount = _within(_number(plain, typed, expected, fractions=False), None, None, typed, "")
    if (amount * 10**exponent).denominator != 1:
        raise MeasureError(f"“{typed}” has too many decimals.", mend=expected)
    return round_half_up(amount, exponent)


def _tidy(text: str, what: str, expected: str) -> str:
    """The text with odd spaces, primes and vulgar fractions made plain, or why it is none."""
    if not isinstance(text, str) or not text.strip():
        raise MeasureError(f"Nothing is written where {what} belongs.", mend=expected)
    if len(text) > LONGEST_TYPED:
        raise MeasureError(f"That is too long for {what}.", mend=expected)
    plain = " ".join(_HYPHEN_BEFORE_VULGAR.sub(" ", text).translate(_PLAIN).split())
    if not plain.isascii():
        raise MeasureError(f"“{text.strip()}” is not {what}.", mend=expected)
    return plain


def _number(text: str, typed: str, expected: str, *, fractions: bool = True) -> Fraction:
    """A decimal or a fraction; refuses signs, exponents and marks that could mean thousands."""
    text = text.strip()
    if re.match(r"-\s*[\d.,]", text):
        raise MeasureError(f"“{typed}” is less than nought.", mend=expected)
    if fractions and (match := _FRACTION.fullmatch(text)):
        over, under = int(match[2]), int(match[3])
        if under == 0:
            raise MeasureError(f"“{typed}” divides by nought.", mend=expected)
        if match[1] and over >= under:
            raise MeasureError(f"“{typed}” has a whole and more than a whole.", mend=expected)
        return int(match[1] or 0) + Fraction(over, under)
    if _TWO_WAYS.fullmatch(text):
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
        raise MeasureError(f"“{typed}” is too small.", mend=f"The least is {decimals(Fraction(least))}{unit}.")
    most = LARGEST_NUMBER if most is None else most
    if value > most:
        raise MeasureError(f"“{typed}” is too large.", mend=f"The most is {decimals(Fraction(most))}{unit}.")
    return value
