"""The board whose cost was worked out by hand, and how it is sold (tests/reference/worked-prices.json, "board")."""

from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.pricing import Fee, Terms
from tests.planner.pricing.test_made_cost import RATES, board

HOURS = Fraction("10.5")
TERMS = Terms(
    (Fee(Fraction("0.065"), Decimal("0.20"), name="marketplace"), Fee(Fraction("0.03"), Decimal("0.30"), name="card")),
    margin=Fraction(1, 10),
    carriage_paid=Decimal(14),
    carriage_charged=Decimal(14),
)


def cost_of(copies=1, rates=RATES, **changes):
    """The cost of ``copies`` boards for one of them, as a reckoning has it."""
    whole = board(rates, quantity=copies, hours=HOURS * copies, **changes)
    if copies == 1:
        return whole
    return Figure(
        round_half_up(Fraction(whole.value) / copies, rates.exponent),
        "money",
        "cost of all ÷ boards",
        terms=(Term("Cost of all boards", whole), Term("Boards", Figure(copies, "boards", "as chosen"))),
    )
