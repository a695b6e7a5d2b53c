"""Deals to test the money ledger with: what was agreed, by whoever."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from shopapp.payments.deals import Deal, DealLine


def deal(**changes) -> Deal:
    """Two boards at 379.00 with carriage of 14.00, 20 % tax held in it, half of it first."""
    return Deal(
        **{
            "key": "quote 12",
            "label": "Quote 2026-012: Heron",
            "person": None,
            "for_whom": "Wren Attwater",
            "lines": (DealLine("Heron, a board for the wall", 2, Decimal("379.00")),),
            "carriage": Decimal("14.00"),
            "tax": Fraction(20, 100),
            "tax_included": True,
            "currency_symbol": "€",
            "currency_exponent": 2,
            "deposit": Fraction(1, 2),
            "home": "/quotes/12/",
            **changes,
        }
    )
