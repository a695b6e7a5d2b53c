"""The largest board that stays within an amount."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from planner.measures import Length

# How many steps above the one found are tried too: a price falls now and then where strips come out better.
_BEYOND = 3


def largest_within(
    pitches: Sequence[Length], price_of: Callable[[Length], Decimal | None], budget: Decimal
) -> Length | None:
    """The largest of ``pitches`` (the smallest first) whose price is no more than ``budget``; None where none is.

    Looked for by halves, and three steps further, for a price grows with the pitch but for a step now and then; where
    it falls by more than that a larger one may be missed, and what is found stays within the budget all the same.
    ``price_of`` gives None where the board has no price, which is no price within any budget.

    >>> mm = Length.of_mm
    >>> largest_within([mm(10), mm(11), mm(12)], lambda pitch: Decimal(int(pitch.mm)) * 10, Decimal(115))
    Length('11 mm')
    """
    known: dict[int, bool] = {}

    def fits(i: int) -> bool:
        if i not in known:
            price = price_of(pitches[i])
            known[i] = price is not None and price <= budget
        return known[i]

    low, high = -1, len(pitches)
    while high - low > 1:
        middle = (low + high) // 2
        if fits(middle):
            low = middle
        else:
            high = middle
    beyond = [i for i in range(low + 1, min(low + 1 + _BEYOND, len(pitches))) if fits(i)]
    best = max([low, *beyond])
    return None if best < 0 else pitches[best]
