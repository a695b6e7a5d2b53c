"""The lines of a cost, each with what kind of thing it pays for: for one board, whether the cost was of one or many."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.lotcost import shared
from planner.measures import round_half_up
from planner.pricing.sale import PricingError

# What ``made_cost`` puts after the woods, in its order. Looked for from the end, for a maker may call a wood "Glue".
_AFTER_WOODS = (
    ("Glue", "supplies"),
    ("Abrasives", "supplies"),
    ("Finish", "supplies"),
    ("Hardware", "hardware"),
    ("Labour", "labour"),
    ("Overhead", "overhead"),
    ("Reserve for boards lost", "reserve"),
    ("Packaging", "packaging"),
)
# Paid out for this one board. Hours and the shop's rent are there whether it is made or not.
CASH = frozenset({"wood", "supplies", "hardware", "packaging", "carriage"})


@dataclass(frozen=True, slots=True)
class CostLine:
    """``kind``: "wood", "supplies", "hardware", "labour", "overhead", "reserve", "packaging" or "carriage"."""

    name: str
    kind: str
    money: Decimal


def cost_lines(cost: Figure) -> tuple[CostLine, ...]:
    """The lines of a cost of ``made_cost``, or of one board's share of it ("cost of all ÷ boards"); they add up to
    the cost to the coin. Raises PricingError for a figure that has no such lines.

    Of a share, labour is rounded by itself, as everywhere an hour's earning is reckoned; the others are shared out of
    what is left by what each comes to.
    """
    whole, boards = _whole(cost)
    lines = _read(whole)
    if boards == 1:
        return lines
    of_one, exponent = money_of(cost), exponent_of(cost)
    labour = round_half_up(Fraction(_of(lines, "labour")) / boards, exponent)
    others = [line for line in lines if line.kind != "labour"]
    parts = iter(shared(of_one - labour, [Fraction(line.money) for line in others], exponent))
    return tuple(CostLine(line.name, line.kind, labour if line.kind == "labour" else next(parts)) for line in lines)


def labour_of(cost: Figure) -> Decimal:
    """What of the cost is the maker's own hours. Raises as ``cost_lines``."""
    return _of(cost_lines(cost), "labour")


def hours_of(cost: Figure) -> Fraction:
    """The hours that the cost's labour was reckoned from, of one board where the cost is of one."""
    whole, boards = _whole(cost)
    _read(whole)
    labour = next(term for term in reversed(whole.terms) if term.name == "Labour")
    hours = next((term.figure.value for term in labour.figure.terms if term.name == "Hours"), None)
    if not isinstance(hours, (Fraction, int)):
        raise _unread()
    return Fraction(hours) / boards


def money_of(figure: Figure) -> Decimal:
    """The amount of a figure of money. Raises PricingError for any other."""
    if figure.unit != "money" or not isinstance(figure.value, Decimal):
        raise _unread()
    return figure.value


def exponent_of(cost: Figure) -> int:
    """How many decimals its money has."""
    exponent = money_of(cost).as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0


def _whole(cost: Figure) -> tuple[Figure, int]:
    """The cost that was shared, and among how many boards."""
    named = {term.name: term.figure for term in cost.terms[-2:]}
    if len(cost.terms) == 2 and set(named) == {"Cost of all boards", "Boards"}:
        boards = named["Boards"].value
        if isinstance(boards, int) and boards > 0:
            return named["Cost of all boards"], boards
    return cost, 1


def _read(cost: Figure) -> tuple[CostLine, ...]:
    kinds: list[str] = []
    terms = list(cost.terms)
    for name, kind in reversed(_AFTER_WOODS):
        at = len(terms) - 1 - len(kinds)
        if at >= 0 and terms[at].name == name:
            kinds.append(kind)
        elif name != "Hardware":
            raise _unread()
    kinds += ["wood"] * (len(terms) - len(kinds))
    return tuple(_line(term, kind) for term, kind in zip(terms, reversed(kinds), strict=True))


def _line(term: Term, kind: str) -> CostLine:
    return CostLine(term.name, kind, money_of(term.figure))


def _of(lines: tuple[CostLine, ...], kind: str) -> Decimal:
    return next(line.money for line in lines if line.kind == kind)


def _unread() -> PricingError:
    return PricingError(
        "This is no cost of a board, line by line.", mend="Reckon the board's cost first.", field="cost"
    )
