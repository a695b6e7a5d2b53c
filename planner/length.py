"""An exact length, how it is printed, and the one rule of rounding.

Nothing here is a float: a length is a fraction of a millimetre from the form to the drawing, so 3/8" stays
3/8" and 152 of them are 57". One inch is 25.4 mm exactly (international yard and pound agreement, 1959).
The rest of the house takes these names from planner.measures.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import ClassVar, overload

from planner.errors import PlannerError

MM_PER_INCH = Fraction(254, 10)
NM_PER_MM = 1_000_000


class MeasureError(PlannerError):
    """Something typed is not the measure that was expected."""


class Length:
    """An exact length in millimetres, which never changes.

    Lengths add, subtract and compare; a length times a number is a length; a length over a length is a Fraction.
    A float is refused everywhere.

    >>> Length.of_inches("3/8").mm
    Fraction(381, 40)
    >>> (Length.of_inches("3/8") * 152).inches
    Fraction(57, 1)
    """

    __slots__ = ("mm",)
    mm: Fraction
    ZERO: ClassVar[Length]

    def __init__(self, mm: Fraction) -> None:
        object.__setattr__(self, "mm", mm)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a length never changes; make another one")

    def __delattr__(self, name: str) -> None:
        raise AttributeError("a length never changes; make another one")

    @classmethod
    def of_mm(cls, value: int | str | Fraction) -> Length:
        return cls(_exact(value))

    @classmethod
    def of_inches(cls, value: int | str | Fraction) -> Length:
        return cls(_exact(value) * MM_PER_INCH)

    @classmethod
    def from_nm(cls, value: int) -> Length:
        return cls(Fraction(value, NM_PER_MM))

    @property
    def nm(self) -> int:
        """Whole nanometres, as a length is kept. Raises MeasureError for a finer one, naming the nearest.

        >>> Length.of_inches("1/64").nm
        396875
        """
        exact = self.mm * NM_PER_MM
        if exact.denominator != 1:
            raise MeasureError(
                "This length is finer than a nanometre and cannot be kept exactly.",
                mend=f"The nearest that can is {decimals(self.mm, 6)} mm.",
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

    @overload
    def __truediv__(self, other: Length) -> Fraction: ...
    @overload
    def __truediv__(self, other: int | Fraction) -> Length: ...
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

    # All four written out: lengths are compared by the ten thousand, and a derived comparison costs two.
    def __lt__(self, other: Length) -> bool:
        return self.mm < other.mm if isinstance(other, Length) else NotImplemented

    def __le__(self, other: Length) -> bool:
        return self.mm <= other.mm if isinstance(other, Length) else NotImplemented

    def __gt__(self, other: Length) -> bool:
        return self.mm > other.mm if isinstance(other, Length) else NotImplemented

    def __ge__(self, other: Length) -> bool:
        return self.mm >= other.mm if isinstance(other, Length) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.mm)

    def __repr__(self) -> str:
        return f"Length('{format_length(self, 'mm')}')"

    def __reduce__(self) -> tuple[type[Length], tuple[Fraction]]:
        return (Length, (self.mm,))


ZERO = Length(Fraction(0))
Length.ZERO = ZERO


def _exact(value: int | str | Fraction) -> Fraction:
    if isinstance(value, float):
        raise TypeError("a length is never a float: give an int, a Fraction or the digits as text")
    return Fraction(value)


def format_length(length: Length, unit: str, *, with_unit: bool = True) -> str:
    """A length as the shop writes it: millimetres to at most three decimals, inches as a fraction down to
    64ths where it is one, else to three decimals.

    >>> format_length(Length.of_mm("19.50"), "mm"), format_length(Length.of_inches("5/4"), "in")
    ('19.5 mm', '1 1/4 in')
    """
    if unit == "mm":
        text = decimals(length.mm)
    else:
        inches = length.inches
        text = _mixed(inches) if 64 % inches.denominator == 0 else decimals(inches)
    return f"{text} {unit}" if with_unit else text


def length_as_typed(length: Length, unit: str) -> str:
    """The length as a maker would type it into a field whose bare numbers are in ``unit``: read back, it is the
    same length exactly. What the unit cannot write exactly is written in millimetres, with their name.

    >>> length_as_typed(Length.of_inches("1/64"), "mm"), length_as_typed(Length.of_inches("5/4"), "in")
    ('0.396875', '1 1/4')
    >>> length_as_typed(Length.of_mm(19), "in")
    '19 mm'
    """
    if unit == "mm":
        return _exact_text(length.mm)
    inches = length.inches
    if 64 % inches.denominator == 0:
        return _mixed(inches)
    return decimals(inches) if 1000 % inches.denominator == 0 else f"{_exact_text(length.mm)} mm"


def _exact_text(value: Fraction) -> str:
    """Decimals where nine of them are enough, else a fraction."""
    return decimals(value, 9) if 10**9 % value.denominator == 0 else str(value)


def decimals(value: Fraction, places: int = 3) -> str:
    """A number to at most ``places`` decimals, without needless noughts."""
    text = f"{round_half_up(value, places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _mixed(value: Fraction) -> str:
    sign, value = ("-", -value) if value < 0 else ("", value)
    whole, rest = divmod(value, 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def round_half_up(value: Fraction | Decimal, exponent: int) -> Decimal:
    """``value`` to ``exponent`` decimals, a half away from nought: the one rounding rule for money and print.

    >>> round_half_up(Fraction(1, 8), 2)
    Decimal('0.13')
    """
    # In whole numbers: fractions brought to lowest terms at every step took most of the time of a page of figures.
    above, below = value.as_integer_ratio()
    if exponent >= 0:
        scaled = abs(above) * 10**exponent
    else:
        scaled, below = abs(above), below * 10**-exponent
    whole = (2 * scaled + below) // (2 * below)
    # Built from its digits: arithmetic on a Decimal would round to the context's 28 places.
    return Decimal((int(above < 0 < whole), tuple(map(int, str(whole))), -exponent))
