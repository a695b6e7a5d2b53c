"""How many spare pieces to cut, so that enough stay good."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import comb


@lru_cache(maxsize=4096)
def spares(needed: int, rate: Fraction, confidence: Fraction) -> int:
    """The fewest spares s for which P(at least ``needed`` of needed + s stay good) ≥ ``confidence``, when each
    piece is spoiled with probability ``rate`` whatever becomes of the others (binomial distribution).

    Exact in whole numbers. ``rate`` and ``confidence`` are shares from 0 to less than 1.

    >>> [spares(256, Fraction(p, 100), Fraction(95, 100)) for p in (1, 2, 5)]
    [5, 9, 20]
    """
    if needed <= 0 or rate <= 0 or confidence <= 0:
        return 0
    # Needed + s pieces are enough exactly when the number cut until ``needed`` are good is at most that:
    # P = sum over k = 0..s of C(needed - 1 + k, k) · (1 - rate)^needed · rate^k. Each term follows from the last,
    # and all are kept over one common denominator, b^(needed + k).
    spoiled, whole = rate.numerator, rate.denominator
    good = whole - spoiled
    total = term = good**needed
    scale = whole**needed
    s = 0
    while total * confidence.denominator < confidence.numerator * scale:
        s += 1
        total *= whole
        scale *= whole
        term = comb(needed - 1 + s, s) * good**needed * spoiled**s if s < 2 else term * spoiled * (needed - 1 + s) // s
        total += term
    return s
