"""Wood at what its own lots cost, instead of at a price for all of its kind.

Goods that can be told apart, or are set aside for one piece of work, are kept at their own cost (specific
identification, IAS 2 Inventories, paragraphs 23 and 24): as soon as a cut plan is kept, a board's wood is what the
boards taken are worth in the book, less what the offcuts take back to the rack. What the same wood would cost today
stands beside it, to decide by; it is no cost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.cutting.plan import CutJob, CutPlan, Offcut, StockBoard
from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.pricing.cost import SHARE_LOST, WoodCost, reserve_line, wood_cost
from planner.pricing.costlines import cost_lines, exponent_of, money_of
from planner.pricing.sale import NOUGHT, PricingError

BOOK = "the rack's book"
# A cut plan counts money in so small a part of the currency (``planner.cutting.fromshop``).
_PLACES = 4


@dataclass(frozen=True, slots=True)
class BoardTaken:
    """A board of the rack, by its mark: its ``wood`` by the name it goes by, what it is ``worth`` in the book, and
    what of that goes ``back`` with its offcuts."""

    mark: str
    wood: str
    worth: Decimal
    back: Decimal = NOUGHT


@dataclass(frozen=True, slots=True)
class WoodAtLots:
    """``actual`` is what the boards taken cost, a term a wood; ``replacement`` what the same would cost at today's
    prices; ``dearer`` how much more that is, below nought where wood has become cheaper. None without prices."""

    actual: Figure
    replacement: Figure | None
    dearer: Decimal | None


def boards_taken(
    job: CutJob, plan: CutPlan, names: Mapping[str, str], *, offcuts_at: Fraction | None = None
) -> tuple[BoardTaken, ...]:
    """The boards a cut plan takes, at what its job counts them at; ``names`` are what woods go by.

    Offcuts that go back are credited as the plan credits them, which is less than their part of the board where the
    maker is careful: it may lie for years. ``offcuts_at`` credits that share of what their area cost instead (half of
    it for one of two layers); 1 is what the book does, but for what planing takes off their thickness. A board that
    was counted at nothing is taken at nothing.
    """
    stock = {board.name: board for board in job.stock}
    layers = {(cut.board, n) for cut in plan.boards for n, rough in enumerate(cut.rough) if rough.resawn}
    back: dict[str, int] = {}
    for offcut in plan.offcuts:
        credit = offcut.credit
        if offcuts_at is not None:
            half = 2 if (offcut.board, offcut.rough) in layers else 1
            credit = int(_area_share(offcut, stock[offcut.board]) * offcuts_at / half * stock[offcut.board].cost)
        back[offcut.board] = back.get(offcut.board, 0) + credit
    return tuple(
        BoardTaken(
            cut.board,
            names.get(stock[cut.board].wood, stock[cut.board].wood),
            Decimal(stock[cut.board].cost).scaleb(-_PLACES),
            Decimal(back.get(cut.board, 0)).scaleb(-_PLACES),
        )
        for cut in plan.boards
    )


def _area_share(offcut: Offcut, board: StockBoard) -> Fraction:
    return Fraction(offcut.width * offcut.length, board.width * board.length)


def wood_at_lots(taken: Sequence[BoardTaken], today: Sequence[WoodCost] = (), *, exponent: int = 2) -> WoodAtLots:
    """What the wood of the boards taken costs, each wood rounded once, and what ``today``'s prices would make of what
    is sawn. Raises PricingError where more goes back than was taken, or a worth is below nought.

    >>> lots = [BoardTaken("A", "Ash", Decimal(80)), BoardTaken("B", "Ash", Decimal(110), Decimal("64.00"))]
    >>> wood_at_lots(lots).actual.value
    Decimal('126.00')
    """
    woods: dict[str, list[BoardTaken]] = {}
    for board in taken:
        if board.worth < 0 or not 0 <= board.back <= board.worth:
            raise PricingError(
                f"More goes back of board {board.mark} than it was worth.",
                mend="Look at what its offcuts are credited, or count them anew.",
                field="lots",
            )
        woods.setdefault(board.wood, []).append(board)
    lines = tuple(Term(name, _at_lots(boards, exponent)) for name, boards in woods.items())
    total = sum((money_of(line.figure) for line in lines), round_half_up(NOUGHT, exponent))
    actual = Figure(total, "money", "the woods added up, each at what its own boards cost", terms=lines)
    if not today:
        return WoodAtLots(actual, None, None)
    would = wood_cost(today, exponent)
    return WoodAtLots(actual, would, money_of(would) - total)


def cost_at_lots(cost: Figure, woods: Sequence[Term]) -> Figure:
    """The cost of all boards (``made_cost``) with ``woods`` (``WoodAtLots.actual.terms``) in the place of its woods:
    every other line as it is, the reserve anew from what is made. Raises PricingError for a cost without lines."""
    lines = cost_lines(cost)
    if len(lines) != len(cost.terms):
        raise PricingError(
            "This is the cost of one board out of several.", mend="Use the cost of all of them.", field="cost"
        )
    kept = [(line.kind, term) for line, term in zip(lines, cost.terms, strict=True) if line.kind != "wood"]
    made = [*woods, *(term for kind, term in kept if kind not in ("reserve", "packaging"))]
    terms = (*woods, *(_again(term, made, exponent_of(cost)) if kind == "reserve" else term for kind, term in kept))
    total = sum((money_of(term.figure) for term in terms), NOUGHT)
    return Figure(total, "money", cost.rule, cost.source, terms)


def _again(reserve: Term, made: Sequence[Term], exponent: int) -> Term:
    share = next(term for term in reserve.figure.terms if term.name == SHARE_LOST)
    return reserve_line(sum((money_of(line.figure) for line in made), NOUGHT), share, exponent)


def _at_lots(boards: Sequence[BoardTaken], exponent: int) -> Figure:
    exact = sum((Fraction(board.worth) - Fraction(board.back) for board in boards), Fraction(0))
    terms = []
    for board in boards:
        terms.append(Term(f"Board {board.mark}", Figure(board.worth, "money", "as it stands in the book", BOOK)))
        if board.back:
            rule = "what its offcuts take back to the rack"
            terms.append(Term(f"Back of board {board.mark}", Figure(board.back, "money", rule, BOOK)))
    rule = "what the boards taken cost − what goes back with their offcuts"
    return Figure(round_half_up(exact, exponent), "money", rule, BOOK, tuple(terms))
