"""What was agreed with somebody, whoever agreed it: a quote that was accepted, a sale. Each kind says at start how one
of its own is found, so that money knows of nothing above it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shopapp.common.numbers import whole_number
from shopapp.people.models import Person


@dataclass(frozen=True)
class DealLine:
    """``count`` of something at ``each``, in words the customer reads."""

    words: str
    count: int
    each: Decimal


@dataclass(frozen=True)
class Deal:
    """Who owes what for what, in the currency it was agreed in.

    ``key`` is opaque ("quote 12"); ``home`` the address of the page it is told on. ``tax`` is a share, held in lines
    and carriage or added to both; ``deposit`` the share of what is paid that is asked first.
    """

    key: str
    label: str
    person: Person | None
    for_whom: str
    lines: tuple[DealLine, ...]
    carriage: Decimal
    tax: Fraction
    tax_included: bool
    currency_symbol: str
    currency_exponent: int
    deposit: Fraction
    home: str


Find = Callable[[int], Deal | None]
_KINDS: dict[str, Find] = {}


def register(kind: str, find: Find) -> None:
    """``find`` gives the deal of a number, or nothing where there is none that was agreed."""
    _KINDS[kind] = find


def deal_of(key: str) -> Deal | None:
    """The deal of a key such as "quote 12"; nothing for a key of no kind or number."""
    kind, _, text = key.partition(" ")
    number = whole_number(text)
    return None if kind not in _KINDS or number is None else _KINDS[kind](number)
