"""One cell of a table read: what it says, or in words why it says nothing. Raises PlannerError."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import Length, parse_count, parse_length, parse_money, parse_number, parse_percent, round_half_up
from shopapp.common.fields import MOST_MONEY
from shopapp.common.tables import plain
from shopapp.lumber.buying.sense import MOST_MOISTURE
from shopapp.lumber.models import Lot, Supplier
from shopapp.lumber.quarters import read_thickness

from .heads import PER_WORDS

_FORMULA = re.compile(r"=|[+\-@]\s*[A-Za-z(]")
# Digits and fractions with nothing that could be a unit.
_BARE = re.compile(r"[\d\s.,/⁄¼½¾⅐-⅞-]+")
# As comma decimals are written, and as thousands are where they are.
_COMMA_DECIMALS = re.compile(r"\d,\d{1,2}(?!\d)")
_DOTTED = re.compile(r"\D*\d{1,3}\.\d{3}(?!\d)\D*")
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_MADE_A_DAY = re.compile(
    rf"\d{{1,2}}[\s.-]*(?:{'|'.join(_MONTHS)})[a-z]*\.?(?:[\s.-]*\d{{2,4}})?|(?:{'|'.join(_MONTHS)})[a-z]*[\s.-]*\d{{1,2}}"
    r"|\d{1,2}\.\d{1,2}\.(?:\d{2,4})?|\d{4}-\d\d-\d\d|\d{1,2}/\d{1,2}/\d{2,4}",
    re.IGNORECASE,
)
_YES, _NO = ("yes", "y", "true", "1", "x"), ("no", "n", "false", "0", "")
_CUTS = {
    **{value: value for value in Lot.Cut.values},
    **{str(label): value for value, label in Lot.Cut.choices},
    **dict.fromkeys(("flatsawn", "flat-sawn", "plain", "plain sawn"), "flat"),
    **dict.fromkeys(("riftsawn", "rift-sawn"), "rift"),
    **dict.fromkeys(("quarter", "quarter sawn", "quartersawn", "quarter-sawn"), "quartered"),
}
_RULES = {
    **{value: value for value in Supplier.Rule.values},
    **{str(label).lower(): value for value, label in Supplier.Rule.choices},
}


def bare_text(cell: str) -> str:
    """A cell without the apostrophe that we, or a spreadsheet, put before what is no formula. Raises PlannerError for
    a formula: what it comes to is known to the spreadsheet only.

    >>> bare_text("'=1+1"), bare_text("  27 ")
    ('=1+1', '27')
    """
    text = cell.strip()
    if _FORMULA.match(text):
        raise PlannerError(f"“{_short(text)}” is a formula.", mend="Bring what it comes to.")
    return plain(text)


def has_comma_decimals(cell: str) -> bool:
    return _COMMA_DECIMALS.search(cell) is not None


def told_apart(text: str) -> str:
    """A number of a table whose decimals are written with commas: 2.000 could be two or two thousand there."""
    if _DOTTED.fullmatch(text):
        raise PlannerError(
            f"“{_short(text)}” could be read two ways, for decimals have commas in this table.",
            mend="Write it without a mark for thousands.",
        )
    return text


def length(text: str, unit: str) -> Length:
    """A length whose bare number is in ``unit``: mm, cm, m, in or ft."""
    if unit not in ("mm", "in") and _BARE.fullmatch(text):
        text = f"{text} {unit}"
    found = parse_length(text, unit if unit in ("mm", "in") else "mm")
    found.nm  # noqa: B018 - refuses, in words, what could not be kept exactly
    return found


def thickness(text: str, unit: str) -> Length:
    """A thickness as it is sold: in quarters, or as a length."""
    if _MADE_A_DAY.fullmatch(text):
        raise PlannerError(
            f"“{text}” looks like a day that a spreadsheet made of a fraction.",
            mend="Write 5/4 into a cell of text, or the thickness in mm.",
        )
    if unit == "quarters" and re.fullmatch(r"\d{1,2}", text):
        text = f"{text}/4"
    if re.fullmatch(r"\d{1,2}\s*/\s*4", text) or unit in ("mm", "in", "quarters"):
        return read_thickness(text, "in" if unit == "quarters" else unit)
    return length(text, unit)


def count(text: str, most: int) -> int:
    return parse_count(text, least=1, most=most)


def money(text: str, names: tuple[str, ...], exponent: int) -> Decimal:
    """An amount; the shop's own code or symbol may stand beside it."""
    plain = text.replace("\xa0", " ").replace("\u202f", " ")
    for name in names:
        if plain.lower().startswith(name.lower()):
            plain = plain[len(name) :]
        elif plain.lower().endswith(name.lower()):
            plain = plain[: -len(name)]
    amount = parse_money(plain.strip(), exponent=exponent)
    if amount > MOST_MONEY:
        raise PlannerError("That is more than this book can hold.", mend=f"Write at most {MOST_MONEY}.")
    return amount


def per(text: str) -> str:
    found = PER_WORDS.get(" ".join(text.lower().split()).removeprefix("per "))
    if not found:
        raise PlannerError(f"“{_short(text)}” is nothing a price is for.", mend="Write bf, m3, sqft, m, kg or piece.")
    return found


def mass(text: str) -> Decimal:
    return _decimal(re.sub(r"\s*kg$", "", text, flags=re.IGNORECASE), 3, most=999_999)


def moisture(text: str) -> Decimal:
    found = _decimal(text.removesuffix("%").strip(), 1, most=MOST_MOISTURE)
    if not found:
        raise PlannerError("No wood reads nought.", mend="Write what the meter showed, or leave it empty.")
    return found


def _decimal(text: str, places: int, most: int) -> Decimal:
    value = parse_number(text, most=most)
    rounded = round_half_up(value, places)
    if Fraction(rounded) != value:
        raise PlannerError(f"“{text}” has too many decimals.", mend=f"At most {places} are kept.")
    return rounded


def tax(text: str) -> Fraction:
    share = parse_percent(text, most=100)
    if (share * 10**6).denominator != 1:
        raise PlannerError(f"“{text}” has too many decimals.", mend="At most 4 are kept.")
    return share


def yes(text: str) -> bool:
    plain = text.lower()
    if plain in _YES or plain in ("surfaced", "planed", "s2s", "s4s"):
        return True
    if plain in _NO or plain == "rough":
        return False
    raise PlannerError(f"“{_short(text)}” is neither yes nor no.", mend="Write yes or no.")


def cut(text: str) -> str:
    found = _CUTS.get(" ".join(text.lower().split()))
    if found is None:
        raise PlannerError(f"“{_short(text)}” is no cut known here.", mend="Write flat, rift or quartered.")
    return found


def rule(text: str) -> str:
    found = _RULES.get(" ".join(text.lower().split()))
    if found is None:
        raise PlannerError(
            f"“{_short(text)}” is no way of counting known here.",
            mend=f"Write one of {', '.join(Supplier.Rule.values)}.",
        )
    return found


def mark(text: str) -> str:
    if not re.fullmatch(r"[A-Z]\d{1,7}[a-z]{0,4}", text):
        raise PlannerError(f"“{_short(text)}” is no mark.", mend="Write it like W7 or W7a, or leave it empty.")
    return text


def words(text: str, most: int) -> str:
    if len(text) > most:
        raise PlannerError(f"This is too long: {len(text)} characters.", mend=f"Write at most {most}.")
    return text


def day(text: str) -> date:
    """A day written as 2026-03-02, 2.3.2026 or 2 Mar 2026; with strokes only where it can be read one way."""
    if match := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T]00:00(?::00)?)?", text):
        return _day(text, *match.groups())
    if match := re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", text):
        return _day(text, match[3], match[2], match[1])
    if match := re.fullmatch(r"(\d{1,2})\.?[ -]([A-Za-z]{3,9})\.?[ -](\d{4})", text):
        month = match[2].lower()[:3]
        if month in _MONTHS:
            return _day(text, match[3], str(_MONTHS.index(month) + 1), match[1])
    if match := re.fullmatch(r"(\d{1,2})/(\d{1,2})/(\d{4})", text):
        one, two = int(match[1]), int(match[2])
        if one <= 12 and two <= 12 and one != two:
            raise PlannerError(f"“{text}” could be two days.", mend="Write it like 2026-03-02.")
        return _day(text, match[3], str(min(one, two) if max(one, two) > 12 else one), str(max(one, two)))
    raise PlannerError(f"“{_short(text)}” is no day.", mend="Write it like 2026-03-02.")


def _day(text: str, year: str, month: str, of_month: str) -> date:
    try:
        return date(int(year), int(month), int(of_month))
    except ValueError as error:
        raise PlannerError(f"“{text}” is no day.", mend="Write it like 2026-03-02.") from error


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:40]}…"
