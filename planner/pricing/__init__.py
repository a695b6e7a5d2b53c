"""What a board costs, the smallest price that meets what the maker wants of it, and what an hour earned.

Money is Decimal, worked out in exact fractions and rounded once a line, a half away from nought. Fees are rounded
by the channel that takes them, so the price is defined by what is left after those roundings, not by a formula
alone: the smallest price on the grid whose settled profit meets the target.

    rates      the maker's own rates, and which are still assumptions
    shelf      their prices of glue, abrasives and finish at the moving average of what is held
    supplies   what is used up besides wood, in grams, discs and millilitres
    cost       rates and quantities -> what a board costs, a line for each thing bought or done
    costlines  a cost's lines and what kind of thing each pays for
    lots       wood at what its own boards cost, beside what it would cost today
    carriage   a parcel, what it is charged by, what it costs to send
    sale       one sale at a given price, settled to the cent
    target     what is wanted of a price: margin, markup or money
    price      the smallest price that meets the target
    floors     below which price what is lost; what an hour earns at any price
    friends    a friend's price; a gift
    batch      several boards made at once
    shares     where each unit of money goes that the buyer pays
    lines      the sums at the foot of an offer or an invoice
    earned     what many sales together left, and what an hour of them earned
"""

from planner.pricing.batch import BatchRow, Part, batch_table, unit_cost
from planner.pricing.carriage import Carrier, Packing, Parcel, billed_mass, carriage_of, parcel_of
from planner.pricing.cost import HardwareCost, WoodCost, made_cost, wood_cost
from planner.pricing.costlines import CostLine, cost_lines, hours_of, labour_of
from planner.pricing.earned import Earned, dealt, hour_figure, margin_figure, profit_figure
from planner.pricing.floors import break_even, cash_floor, wage, wage_at
from planner.pricing.friends import Friendly, Gift, friendly, gift
from planner.pricing.lines import OfferSums, offer_sums
from planner.pricing.lots import BoardTaken, WoodAtLots, boards_taken, cost_at_lots, wood_at_lots
from planner.pricing.price import closed_form, price_for, price_warning, share_left
from planner.pricing.rates import Rates
from planner.pricing.sale import Fee, NoPrice, PricingError, Settlement, Terms, settle
from planner.pricing.shares import Share, by_kind, where_it_goes
from planner.pricing.shelf import Shelved, rates_at_average
from planner.pricing.supplies import USUAL_GRITS, Supplies, supplies_of
from planner.pricing.target import Target, margin_of_markup, markup_of_margin, terms_for

__all__ = [
    "USUAL_GRITS",
    "BatchRow",
    "BoardTaken",
    "Carrier",
    "CostLine",
    "Earned",
    "Fee",
    "Friendly",
    "Gift",
    "HardwareCost",
    "NoPrice",
    "OfferSums",
    "Packing",
    "Parcel",
    "Part",
    "PricingError",
    "Rates",
    "Settlement",
    "Share",
    "Shelved",
    "Supplies",
    "Target",
    "Terms",
    "WoodAtLots",
    "WoodCost",
    "batch_table",
    "billed_mass",
    "boards_taken",
    "break_even",
    "by_kind",
    "carriage_of",
    "cash_floor",
    "closed_form",
    "cost_at_lots",
    "cost_lines",
    "dealt",
    "friendly",
    "gift",
    "hour_figure",
    "hours_of",
    "labour_of",
    "made_cost",
    "margin_figure",
    "margin_of_markup",
    "markup_of_margin",
    "offer_sums",
    "parcel_of",
    "price_for",
    "price_warning",
    "profit_figure",
    "rates_at_average",
    "settle",
    "share_left",
    "supplies_of",
    "terms_for",
    "unit_cost",
    "wage",
    "wage_at",
    "where_it_goes",
    "wood_at_lots",
    "wood_cost",
]
