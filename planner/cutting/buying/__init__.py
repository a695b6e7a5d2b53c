"""What to buy: what the rack does not give, the boards that would, their cost, and the rules of thumb told apart.

terms      the words, as frozen dataclasses
amounts    the units wood is sold by, past prices, and what "30 % waste" and "add 30 %" mean
kinds      which thickness and which sizes to ask for
trial      a plan on the rack with such boards beside it
listing    the list itself
"""

from planner.cutting.buying.amounts import adding, amount, losing, ranges_of
from planner.cutting.buying.listing import in_words, thickness_words, what_to_buy
from planner.cutting.buying.terms import (
    BoughtBefore,
    Buying,
    CostRange,
    Enough,
    Likely,
    Missing,
    PastYield,
    PriceRange,
    ToBuy,
    Want,
)

__all__ = [
    "BoughtBefore",
    "Buying",
    "CostRange",
    "Enough",
    "Likely",
    "Missing",
    "PastYield",
    "PriceRange",
    "ToBuy",
    "Want",
    "adding",
    "amount",
    "in_words",
    "losing",
    "ranges_of",
    "thickness_words",
    "what_to_buy",
]
