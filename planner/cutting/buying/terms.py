"""The words of a buying list: what was bought before, what is wanted, what is missing, and what to ask the yard for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.figures import Figure
from planner.measures import Length


@dataclass(frozen=True, slots=True)
class Want:
    """A board that is to be made: what it is called, and its reckoning's record (``planner.record``)."""

    label: str
    record: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class BoughtBefore:
    """Boards alike as they were bought, ``count`` of them: ``nominal`` is the thickness they were sold by (5/4 is
    1 1/4 in), ``thickness`` what they measured; ``price`` for one ``per``, one of ``planner.lotcost.PER`` or "m2"."""

    wood: str
    nominal: Length
    thickness: Length
    width: Length
    length: Length
    surfaced: bool = False
    per: str = "bf"
    price: Decimal = Decimal(0)
    count: int = 1


@dataclass(frozen=True, slots=True)
class PriceRange:
    """What was paid for one ``per``: the least, the median, the most, of so many ``times`` it was bought."""

    per: str
    least: Decimal
    median: Decimal
    most: Decimal
    times: int


@dataclass(frozen=True, slots=True)
class PastYield:
    """What came of wood before: ``net_mm3`` stayed in finished boards of ``jobs`` jobs out of ``gross_mm3`` taken."""

    net_mm3: Fraction
    gross_mm3: Fraction
    jobs: int


@dataclass(frozen=True, slots=True)
class Missing:
    """``count`` parts, spares among them, that the rack does not give: sizes as they are ripped, milled, crosscut."""

    name: str
    width: Length
    thickness: Length
    length: Length
    count: int


@dataclass(frozen=True, slots=True)
class Likely:
    """``count`` boards of one size that give all that is missing, planned with, not guessed. ``before`` says that such
    a one was bought before, of this wood or, with ``other_wood``, of another; else its size is assumed. ``amount`` is
    what they measure in the unit they are sold by, ``cost`` at the median price where one is known."""

    count: int
    nominal: Length
    width: Length
    length: Length
    before: bool
    other_wood: bool
    per: str
    amount: Figure
    cost: Figure | None


@dataclass(frozen=True, slots=True)
class CostRange:
    least: Figure
    median: Figure
    most: Figure


@dataclass(frozen=True, slots=True)
class ToBuy:
    """What is missing of one wood in one rough thickness, ``nominal``, and what to ask for.

    ``from_rack`` are the marks of the pieces that give the rest. ``net`` is what will stay in the finished boards,
    ``assumed`` the yield, ``why`` where that comes from, ``amount`` = net / yield in the unit the wood is sold by.
    ``likely`` first what costs least; ``cost`` is for those whole boards, or for ``amount`` where that is more;
    ``waste`` and ``adding`` what the two rules of thumb would say: "30 % waste" and
    "add 30 %" are not the same."""

    wood: str
    name: str
    nominal: Length
    milled: Length
    missing: tuple[Missing, ...]
    from_rack: tuple[str, ...]
    likely: tuple[Likely, ...]
    net: Figure
    assumed: Figure
    why: str
    amount: Figure
    cost: CostRange | None
    waste: Figure
    adding: Figure
    words: str


@dataclass(frozen=True, slots=True)
class Enough:
    """A wood of which the rack gives all that is wanted of one milled thickness, and the pieces that do."""

    wood: str
    name: str
    milled: Length
    from_rack: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Buying:
    lines: tuple[ToBuy, ...]
    enough: tuple[Enough, ...]
