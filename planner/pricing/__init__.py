"""What a board costs, the smallest price that meets what the maker wants of it, and what an hour earned.

Money is Decimal, worked out in exact fractions and rounded once a line, a half away from nought. Fees are rounded
by the channel that takes them, so the price is defined by what is left after those roundings, not by a formula
alone: the smallest price on the grid whose settled profit meets the target.

    rates     the maker's own rates, and which are still assumptions
    supplies  what is used up besides wood, in grams, discs and millilitres
    cost      rates and quantities -> what a board costs, a line for each thing bought or done
    sale      one sale at a given price, settled to the cent
    price     the smallest price that meets the target; break-even; what an hour earns
    lines     the sums at the foot of an offer or an invoice
"""

from planner.pricing.cost import HardwareCost, WoodCost, made_cost, wood_cost
from planner.pricing.lines import OfferSums, offer_sums
from planner.pricing.price import break_even, closed_form, price_for, price_warning, share_left, wage
from planner.pricing.rates import Rates
from planner.pricing.sale import Fee, NoPrice, PricingError, Settlement, Terms, settle
from planner.pricing.supplies import USUAL_GRITS, Supplies, supplies_of

__all__ = [
    "USUAL_GRITS",
    "Fee",
    "HardwareCost",
    "NoPrice",
    "OfferSums",
    "PricingError",
    "Rates",
    "Settlement",
    "Supplies",
    "Terms",
    "WoodCost",
    "break_even",
    "closed_form",
    "made_cost",
    "offer_sums",
    "price_for",
    "price_warning",
    "settle",
    "share_left",
    "supplies_of",
    "wage",
    "wood_cost",
]
