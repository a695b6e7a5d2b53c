"""Times as data sheets have them: minutes, hours or days, kept as whole minutes."""

from __future__ import annotations

import re
from fractions import Fraction

from planner.measures import MeasureError, parse_number
from shopapp.common.fields import CountFormField, MeasureFormField, plain_number

_MINUTES = {"min": 1, "h": 60, "days": 24 * 60}
_UNITS = {
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("h", "hour", "hours"), "h"),
    **dict.fromkeys(("d", "day", "days"), "days"),
}
_TYPED = re.compile(r"(.*?)\s*([A-Za-z]+)?", re.DOTALL)


class MinutesFormField(MeasureFormField):
    """A span of time; a bare number is in ``unit`` ("min", "h" or "days"), and any of them may be written out."""

    inputmode = "text"

    def __init__(self, *, unit: str = "min", least: int = 0, most: int, **kwargs) -> None:
        self.suffix, self.least, self.most = unit, least, most
        super().__init__(**kwargs)

    def read(self, text: str) -> int:
        number, unit = _TYPED.fullmatch(text.strip()).groups()
        named = _UNITS.get((unit or self.suffix).lower())
        if named is None:
            raise MeasureError(f"“{text}” is no time.", mend="Write it like 30 min, 24 h or 3 days.")
        minutes = parse_number(number, least=0) * _MINUTES[named]
        if minutes.denominator != 1:
            raise MeasureError(f"“{text}” is not a whole number of minutes.", mend="Write whole minutes.")
        if not self.least <= minutes <= self.most:
            bounds = f"from {said(self.least)} to {said(self.most)}"
            raise MeasureError(f"“{text}” is not among the times that are kept.", mend=f"Write a time {bounds}.")
        return int(minutes)

    def show(self, value) -> str:
        return as_typed(Fraction(value, _MINUTES[self.suffix]))


def as_typed(value: Fraction) -> str:
    """Decimals where they are exact, else the fraction; saving a form that was only opened must not move a time."""
    shown = plain_number(value)
    return shown if Fraction(shown) == value else str(value)


def said(minutes: int) -> str:
    """
    >>> said(30), said(90), said(24 * 60), said(72 * 60)
    ('30 min', '1 h 30 min', '24 h', '3 days')
    """
    days, within = divmod(minutes, 24 * 60)
    if days > 1 and not within:
        return f"{days} days"
    hours, rest = divmod(minutes, 60)
    return " ".join(
        part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "") if part
    )


class DaysFormField(CountFormField):
    suffix = "days"


class MinuteCountFormField(CountFormField):
    suffix = "min"
