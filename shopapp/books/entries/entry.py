"""One amount in one line of the books."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from django.urls import reverse

_PAGES = {"expense": "listings:expense", "change": "listings:given_back"}


@dataclass(frozen=True, slots=True, order=True)
class Currency:
    """Named as the rows that carry one name it. Two currencies are never added."""

    currency_symbol: str
    currency_exponent: int

    @classmethod
    def of(cls, row: object) -> Currency:
        return cls(row.currency_symbol, row.currency_exponent)

    @property
    def nought(self) -> Decimal:
        return Decimal(0).scaleb(-self.currency_exponent)


@dataclass(frozen=True, slots=True)
class Entry:
    """``amount`` in ``line`` on a day, as the row ``source`` has it ("sale 12"); ``words`` say what it is, ``to`` names
    the page that tells of it. ``part`` is what kind of cost it is, where one line holds several; ``minutes`` are the
    hours that go with it. ``piece``, ``sale`` and ``fair`` are what it is of, where it is of one."""

    line: str
    on: date
    amount: Decimal
    currency: Currency
    words: str
    to: tuple[str, int] | None
    source: str
    part: str = ""
    minutes: int = 0
    piece: int | None = None
    sale: int | None = None
    fair: int | None = None
    channel: int | None = None

    def with_share(self, amount: Decimal, minutes: int) -> Entry:
        """A part of it, where it is dealt out."""
        return replace(self, amount=amount, minutes=minutes)

    @property
    def address(self) -> str:
        return reverse(self.to[0], args=[self.to[1]]) if self.to else ""

    @property
    def row_address(self) -> str:
        """The page of the row itself, where it has one: there it is taken back if it was wrong."""
        kind, _, pk = self.source.rpartition(" ")
        return reverse(_PAGES[kind], args=[int(pk)]) if kind in _PAGES else ""
