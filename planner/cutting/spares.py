"""How many spare pieces to cut, so that enough stay good."""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache

from planner.errors import PlannerError

# Half spoiled is no longer a rate to plan with but a saw to put right first.
MOST_SPOILED = Fraction(1, 2)
# Sixty digits keep the sum of some 40,000 terms true to more than fifty; where it comes nearer to the confidence
# than that, whole numbers decide.
_DIGITS = Context(prec=60)
_SURE = Decimal("1e-50")


class SparesError(PlannerError):
    """A rate of spoiled pieces or a confidence no number of spares answers to."""


@lru_cache(maxsize=4096)
def spares(needed: int, rate: Fraction, confidence: Fraction) -> int:
    """The fewest spares s for which P(at least ``needed`` of needed + s stay good) ≥ ``confidence``, when each
    piece is spoiled with probability ``rate`` whatever becomes of the others (binomial distribution).

    Exact, and quick for tens of thousands. ``rate`` is a share from 0 to 1/2, ``confidence`` one from 0 to less than
    1; raises SparesError for others.

    >>> [spares(256, Fraction(p, 100), Fraction(95, 100)) for p in (1, 2, 5)]
    [5, 9, 20]
    """
    if not 0 <= rate <= MOST_SPOILED:
        raise SparesError(
            "The share of pieces spoiled is not from 0 to 50 %.",
            mend="Write what is lost out of a hundred pieces cut.",
            field="spoil_rate",
        )
    if not 0 <= confidence < 1:
        raise SparesError(
            "No number of spares is sure to suffice." if confidence >= 1 else "The confidence is less than nought.",
            mend="Write a share under 100 %, like 95 %.",
            field="spare_confidence",
        )
    if needed <= 0 or not rate:
        return 0
    # needed + s pieces are enough exactly when the last good one needed comes no later than that, so
    # P = sum over k = 0 ... s of C(needed - 1 + k, k) · (1 - rate)^needed · rate^k, each term made from the last.
    ctx = _DIGITS
    spoiled = ctx.divide(Decimal(rate.numerator), Decimal(rate.denominator))
    wanted = ctx.divide(Decimal(confidence.numerator), Decimal(confidence.denominator))
    total = term = ctx.power(ctx.subtract(Decimal(1), spoiled), Decimal(needed))
    s = 0
    while True:
        short = ctx.subtract(wanted, total)
        if short <= -_SURE or (short < _SURE and _enough(needed, s, rate, confidence)):
            return s
        s += 1
        term = ctx.divide(ctx.multiply(ctx.multiply(term, spoiled), Decimal(needed - 1 + s)), Decimal(s))
        total = ctx.add(total, term)


def _enough(needed: int, s: int, rate: Fraction, confidence: Fraction) -> bool:
    """Whether s spares reach the confidence, in whole numbers over the denominator whole^(needed + s)."""
    spoiled, whole = rate.numerator, rate.denominator
    term: int = (whole - spoiled) ** needed
    total = term
    for k in range(1, s + 1):
        # C(needed - 1 + k, k) is C(needed - 2 + k, k - 1) · (needed - 1 + k) ÷ k, without remainder.
        term = term * spoiled * (needed - 1 + k) // k
        total = total * whole + term
    scale: int = whole ** (needed + s)
    return total * confidence.denominator >= confidence.numerator * scale
