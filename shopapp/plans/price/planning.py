"""The price's one door to the planner: a kept record and what it was sold on in; sums at any price, and a drawing, out.

Nothing of a kept plan is reckoned anew here: its cost is the record's, its terms are those it was kept with. Another
price is settled by the same arithmetic.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.asking import Selling, Sent, ask, money_figures, settled_terms
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working.shares import Told, shares_svg
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.measures import decimals, round_half_up
from planner.pricing import (
    BoardTaken,
    Fee,
    Friendly,
    Gift,
    Target,
    Terms,
    cost_at_lots,
    cost_lines,
    friendly,
    gift,
    wood_at_lots,
)
from planner.pricing import where_it_goes as shares_of
from shopapp.plans.cutting.shown.planning import PlanSeen
from shopapp.plans.planning import looks_of

__all__ = ["Friendly", "Gift", "Lots", "Sale", "ShareOf", "asked_words"]

_MONEY = "money"


@dataclass(frozen=True)
class ShareOf:
    """A line of what the buyer pays: its ``figure`` opens to how it was reached."""

    name: str
    kind: str
    figure: Mapping
    share: Fraction
    wood: str = ""


@dataclass(frozen=True)
class Lots:
    """Wood of all boards at what the boards chosen cost, beside what it was reckoned at; and what that makes of one
    board: its cost, what is left at the price, and the price that loses nothing."""

    actual: Mapping
    as_reckoned: Mapping
    cost: Mapping
    left: Mapping
    break_even: Mapping | None
    to_buy: bool


class Sale:
    """One board of a record as it is sold, at whatever price."""

    def __init__(self, record: Mapping, inputs: Mapping) -> None:
        self.record = record
        figures = record["figures"]
        self.quantity: int = record["spec"]["quantity"]
        self.cost = Figure.from_record(figures["cost"])
        self.cost_all = Figure.from_record(figures["cost_all"])
        self.target = _target(inputs)
        carriage = figures.get("carriage")
        self.carriage = None if carriage is None else Figure.from_record(carriage)
        selling = Selling(_terms(inputs["terms"]), self.target)
        self.terms = settled_terms(selling, Sent(self.carriage), _money(self.cost))
        self._known = {"cost": self.cost, "hours": Figure.from_record(figures["hours"])}
        if "hours_each" in figures:
            self._known["hours_each"] = Figure.from_record(figures["hours_each"])
        if self.carriage is not None:
            self._known["carriage"] = self.carriage

    @property
    def hours(self) -> Fraction:
        """Of one board."""
        hours = self._known["hours"].value
        assert isinstance(hours, Fraction)
        return hours / self.quantity

    @property
    def kept_price(self) -> Decimal | None:
        price = self.record["figures"].get("price")
        return None if price is None else Decimal(price["value"][1])

    def figures_at(self, price: Decimal) -> dict[str, dict]:
        """Every figure of money at ``price``, as records. Raises PlannerError for terms nothing can be worked with."""
        found = self._at(price)
        return {name: figure.as_record() for name, figure in found.items()}

    def _at(self, price: Decimal) -> dict[str, Figure]:
        asking = ask(self._known, self.cost_all, self.quantity, self.terms, at=price)
        return money_figures(asking, self._known, self.terms, self.target)

    def shares_at(self, price: Decimal) -> list[ShareOf]:
        """What the buyer pays at ``price``, line by line; they add up to it to the coin."""
        found = self._at(price)
        opened = {term.name: term.figure for term in self.cost_all.terms}
        opened |= {term.name: term.figure for term in found["fees"].terms}
        ids = iter(
            wood["wood"] for wood, line in zip(self.record["woods"], cost_lines(self.cost), strict=False) if line.money
        )
        lines = []
        for share in shares_of(self.cost, price, self.terms):
            # The first lines are the woods, whatever these are called.
            wood = next(ids) if share.kind == "wood" else ""
            figure = self._opened(share.name, share.kind, share.money, opened, found)
            lines.append(ShareOf(share.name, share.kind, figure.as_record(), share.share, wood))
        return lines

    def _opened(
        self, name: str, kind: str, money: Decimal, opened: Mapping[str, Figure], found: Mapping[str, Figure]
    ) -> Figure:
        if kind == "carriage":
            return self.carriage or Figure(money, _MONEY, "to the carrier", "the workshop's settings")
        if kind == "tax":
            whole = found.get("buyer_pays", found["price"])
            rate = decimals(self.terms.tax * 100, 4)
            return Figure(money, _MONEY, f"{rate} % on price and carriage before tax", whole.source)
        if kind in ("profit", "loss"):
            return Figure(money, _MONEY, "what is left of all that the buyer pays")
        if kind == "rounding":
            return Figure(money, _MONEY, "what is finer than a coin in the lines above")
        line = opened[name]
        if kind == "fee" or self.quantity == 1:
            return line
        terms = (Term(f"{name}, all boards", line), Term("Boards", Figure(self.quantity, "boards", "as chosen")))
        return Figure(money, _MONEY, "this board's part of it, to the coin", terms=terms)

    def drawn_at(self, price: Decimal, says: Callable[[Decimal], str], title: str) -> dict[str, str]:
        """The drawing of ``shares_at`` for a screen, a phone and paper."""
        shares = self.shares_at(price)
        told = [Told(one.name, one.kind, Decimal(one.figure["value"][1]), one.wood) for one in shares]
        whole = sum((one.money for one in told), Decimal(0))
        looks = looks_of(dict(self.record))
        rooms = {"wide": SCREEN, "narrow": PHONE, "paper": PAPER}
        return {name: shares_svg(whole, told, looks, says, room=room, title=title) for name, room in rooms.items()}

    def friend_at(self, price: Decimal, discount: Fraction) -> Friendly:
        """Raises PlannerError for a discount that is no share, or where no price exists."""
        return friendly(price, discount, self.cost, self.terms, self.hours)

    def as_a_gift(self) -> Gift:
        return gift(self.cost, round_half_up(self.terms.carriage_paid, self.terms.exponent))

    def gift_figures(self) -> tuple[dict, dict, dict]:
        """What a gift costs in cash, the hours given with it, and what they would have been worth."""
        given = self.as_a_gift()
        lines = tuple(Term(line.name, Figure(line.money, _MONEY, "")) for line in given.lines)
        cash = Figure(
            given.cash, _MONEY, "what is paid out for this board: no overhead, no reserve, no fee is in it", "", lines
        )
        hours = Figure(given.unpaid_hours, "h", "the hours of one board")
        return cash.as_record(), hours.as_record(), Figure(given.unpaid, _MONEY, "hours × your hour").as_record()

    def at_lots(self, price: Decimal, plan: PlanSeen) -> Lots:
        """With the wood at what the boards of a kept cut plan cost, less what their offcuts take back. Raises
        PlannerError where the book says what cannot be."""
        taken = [
            BoardTaken(
                ", ".join(board.name for board in wood.boards),
                wood.name,
                sum((board.cost for board in wood.boards), Decimal(0)),
                sum((offcut.credit for offcut in wood.offcuts), Decimal(0)),
            )
            for wood in plan.woods
            if wood.boards
        ]
        exponent = self.terms.exponent
        actual = wood_at_lots(taken, exponent=exponent).actual
        woods = self.cost_all.terms[: len(self.record["woods"])]
        total = sum((_money(term.figure) for term in woods), Decimal(0))
        reckoned = Figure(total, _MONEY, "the woods added up, at what they cost to buy now", terms=woods)
        whole = cost_at_lots(self.cost_all, actual.terms)
        cost = round_half_up(Fraction(_money(whole)) / self.quantity, exponent)
        boards = Term("Boards", Figure(self.quantity, "boards", "as chosen"))
        one = Figure(cost, _MONEY, "cost of all ÷ boards", terms=(Term("Cost of all boards", whole), boards))
        known = {**self._known, "cost": one}
        asking = ask(known, whole, self.quantity, self.terms, at=price)
        found = money_figures(asking, known, self.terms, self.target)
        even = found.get("break_even")
        return Lots(
            actual.as_record(),
            reckoned.as_record(),
            one.as_record(),
            found["profit"].as_record(),
            even and even.as_record(),
            bool(plan.to_buy),
        )


def asked_words(inputs: Mapping, says: Callable[[Decimal], str]) -> str:
    """What the maker asked of the price when it was kept."""
    target = _target(inputs)
    if target.kind == "profit":
        return says(Decimal(round_half_up(target.amount, 4)))
    return f"{decimals(target.amount * 100, 4)} % {'of the price' if target.kind == 'margin' else 'on the cost'}"


def _target(inputs: Mapping) -> Target:
    """Plans of before one could choose ask a margin."""
    asked = inputs.get("asked") or {"kind": "margin", "amount": inputs["terms"]["margin"]}
    return Target(asked["kind"], Fraction(asked["amount"]))


def _terms(kept: Mapping) -> Terms:
    """Terms as they were kept; what was not known then has its default."""

    def money(name: str) -> Decimal | None:
        return None if kept.get(name) is None else Decimal(kept[name])

    return Terms(
        fees=tuple(_fee(fee) for fee in kept["fees"]),
        tax=Fraction(kept["tax"]),
        tax_included=kept["tax_included"],
        margin=Fraction(kept["margin"]),
        profit=money("profit") or Decimal(0),
        carriage_paid=money("carriage_paid") or Decimal(0),
        carriage_charged=money("carriage_charged") or Decimal(0),
        exponent=kept["exponent"],
        ending=money("ending"),
        ending_step=money("ending_step"),
    )


def _fee(kept: Mapping) -> Fee:
    limits = {name: None if kept.get(name) is None else Decimal(kept[name]) for name in ("minimum", "cap")}
    return Fee(
        Fraction(kept["percent"]),
        Decimal(kept["fixed"]),
        kept["on_carriage"],
        kept["on_tax"],
        kept["name"],
        **limits,
    )


def _money(figure: Figure) -> Decimal:
    if not isinstance(figure.value, Decimal):
        raise PlannerError("This is no amount of money.")
    return figure.value


def rows_of(shares: Sequence[ShareOf]) -> Decimal:
    """What the rows of a table add up to."""
    return sum((Decimal(one.figure["value"][1]) for one in shares), Decimal(0))
