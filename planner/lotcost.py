"""What a delivery cost, board by board, to the smallest coin: goods, tax, and carriage shared by volume.

Wood is kept at what its own lot cost (specific identification), as the published standard has it for goods that are not
interchangeable (IAS 2 Inventories, paragraphs 23 and 24).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.length import Length
from planner.measures import MM3_PER_BOARD_FOOT, area_mm2, round_half_up, volume_mm3
from planner.tally import BoardSize, Tallied

# What a price is for. A board foot is charged as tallied, everything else as measured.
PER = ("bf", "m3", "sqft", "m", "kg", "piece")
_MM2_PER_SQUARE_FOOT = Length.of_inches(12).mm ** 2


@dataclass(frozen=True, slots=True)
class Charge:
    """What one line of a delivery is charged by: ``price`` per ``per``; ``mass_kg`` where it is weighed."""

    price: Decimal
    per: str
    mass_kg: Decimal | None = None


@dataclass(frozen=True, slots=True)
class LineCost:
    """``goods`` before tax, ``tax``, ``carriage`` (the line's share), ``cost`` in all."""

    goods: Decimal
    tax: Decimal
    carriage: Decimal

    @property
    def cost(self) -> Decimal:
        return self.goods + self.tax + self.carriage


def goods_of(board: BoardSize, tallied: Tallied, charge: Charge, exponent: int) -> Decimal:
    """What a line's boards come to at their price, rounded to the coin once. Raises PlannerError naming what lacks."""
    if charge.per == "bf":
        quantity = tallied.paid
    elif charge.per == "m3":
        quantity = tallied.there * MM3_PER_BOARD_FOOT / 10**9
    elif charge.per == "sqft":
        quantity = area_mm2(board.width, board.length) / _MM2_PER_SQUARE_FOOT * board.count
    elif charge.per == "m":
        quantity = board.length.mm / 1000 * board.count
    elif charge.per == "piece":
        quantity = Fraction(board.count)
    elif charge.per == "kg":
        if charge.mass_kg is None:
            raise PlannerError("A price by the kilogram needs the mass.", mend="Write what it weighed.", field="mass")
        quantity = Fraction(charge.mass_kg)
    else:
        raise PlannerError(f"Nothing is sold by “{charge.per}” here.", mend=f"Choose one of {', '.join(PER)}.")
    return round_half_up(quantity * Fraction(charge.price), exponent)


def delivery_costs(
    boards: Sequence[BoardSize],
    goods: Sequence[Decimal],
    *,
    carriage: Decimal,
    tax: Fraction,
    tax_included: bool,
    exponent: int,
) -> tuple[LineCost, ...]:
    """What every line of a delivery cost. ``goods`` are the lines as charged; ``tax`` is a share of them, already in
    them with ``tax_included``. Carriage is shared by volume. The lines' costs add up to the coin to what was paid.

    >>> inch = Length.of_inches(1)
    >>> two = [BoardSize(inch, inch, inch), BoardSize(inch, inch, inch * 2)]
    >>> [str(line.cost) for line in delivery_costs(two, [Decimal(10), Decimal(20)], carriage=Decimal(1),
    ...     tax=Fraction(0), tax_included=False, exponent=2)]
    ['10.33', '20.67']
    """
    volumes = [volume_mm3(board.thickness, board.width, board.length) * board.count for board in boards]
    carried = shared(carriage, volumes, exponent)
    lines = []
    for amount, part in zip(goods, carried, strict=True):
        if tax_included:
            net = round_half_up(Fraction(amount) / (1 + tax), exponent)
            lines.append(LineCost(net, amount - net, part))
        else:
            lines.append(LineCost(amount, round_half_up(Fraction(amount) * tax, exponent), part))
    return tuple(lines)


def shared(amount: Decimal, weights: Sequence[Fraction], exponent: int) -> tuple[Decimal, ...]:
    """``amount`` in whole coins shared by ``weights``: each gets its part rounded down, and the coins left over go to
    the largest remainders, the first of equal ones first, so that the shares add up to the amount.

    >>> [str(part) for part in shared(Decimal("1.00"), [Fraction(1), Fraction(1), Fraction(1)], 2)]
    ['0.34', '0.33', '0.33']
    """
    if not weights:
        return ()
    whole = sum(weights, Fraction(0))
    if whole <= 0:
        weights, whole = [Fraction(1)] * len(weights), Fraction(len(weights))
    coin = Decimal(1).scaleb(-exponent)
    coins = int(amount / coin)
    exact = [coins * weight / whole for weight in weights]
    parts = [int(share) for share in exact]
    most = sorted(range(len(parts)), key=lambda i: (parts[i] - exact[i], i))
    for i in most[: coins - sum(parts)]:
        parts[i] += 1
    return tuple(part * coin for part in parts)
