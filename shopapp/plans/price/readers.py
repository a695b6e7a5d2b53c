"""What the page of a price shows, at the price that was kept or at one somebody names."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from shopapp.common.templatetags.shop import money
from shopapp.plans.cutting.readers import sheet_seen
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet
from shopapp.plans.readers import RecordView, shop_as_kept
from shopapp.workshop.models import Workshop

from . import planning

# What stands beside the price, in the order of the page: figure, and what it is called.
_BESIDE = (
    ("buyer_pays", "The buyer pays"),
    ("profit", "Yours to keep"),
    ("margin", "Margin, of the price"),
    ("markup", "Markup, on the cost"),
    ("hour_earns", "Your hour earns"),
    ("break_even", "Break-even"),
    ("cash_floor", "Cash floor"),
)


class Priced:
    """A plan's price. ``named`` is a price somebody asks about, None for the one that was kept."""

    def __init__(self, cutting: Cutting, workshop: Workshop, named: Decimal | None, discount: Fraction) -> None:
        """One query, for the cut plan that counts."""
        plan = cutting.plan
        self.record = plan.record
        inputs = json.loads(plan.inputs)
        self.shop = shop_as_kept(workshop, self.record)
        self.view = RecordView(self.record, cutting.label, workshop.unit)
        self._sale = planning.Sale(self.record, inputs)
        self.asked = planning.asked_words(inputs, lambda amount: money(amount, self.shop))
        self.kept = self._sale.kept_price
        self.named = named is not None and named != self.kept
        self.price = self.kept if named is None else named
        self.figures: dict[str, dict] = {}
        self.shares: list[planning.ShareOf] = []
        self.trouble = self.no_friend = self.no_lots = ""
        self.friend: planning.Friendly | None = None
        self.lots: planning.Lots | None = None
        if self.price is not None:
            self._work_out(self.price, discount)
            self._look_at_lots(cutting, workshop, self.price)
        self.gift = self._sale.gift_figures()

    def _work_out(self, price: Decimal, discount: Fraction) -> None:
        try:
            self.figures = self._sale.figures_at(price)
            self.shares = self._sale.shares_at(price)
        except PlannerError as error:
            self.trouble = str(error)
            return
        if not self.named:
            # As it was kept, in the words it was kept in.
            self.figures |= {name: figure for name, figure in self.record["figures"].items() if name in self.figures}
        try:
            self.friend = self._sale.friend_at(price, discount)
        except PlannerError as error:
            self.no_friend = str(error)

    def _look_at_lots(self, cutting: Cutting, workshop: Workshop, price: Decimal) -> None:
        sheet = CutSheet.objects.filter(key=cutting.key, plan=cutting.plan).first()
        if sheet is None:
            return
        try:
            self.lots = self._sale.at_lots(price, sheet_seen(sheet, cutting, workshop).seen)
        except PlannerError as error:
            self.no_lots = str(error)

    @property
    def beside(self) -> list[tuple[str, dict]]:
        return [(words, self.figures[name]) for name, words in _BESIDE if name in self.figures]

    @property
    def whole(self) -> Decimal:
        """What the lines of the table add up to."""
        return planning.rows_of(self.shares)

    @property
    def is_a_loss(self) -> bool:
        return bool(self.shares) and self.shares[-1].kind == "loss"

    @property
    def is_below_floor(self) -> bool:
        floor = self.figures.get("cash_floor")
        return floor is not None and self.price is not None and self.price < Decimal(floor["value"][1])

    def drawn(self) -> dict[str, str]:
        if self.price is None or not self.shares:
            return {}
        title = f"{self.view.title}: where each unit of money goes"
        return self._sale.drawn_at(self.price, lambda amount: money(amount, self.shop), title)

    @property
    def sums(self) -> list[tuple[str, dict]]:
        """Every sum of the page with how it was reached, for paper, where nothing opens."""
        lines = [("Price", self.figures["price"])] if self.figures else []
        lines += self.beside
        lines += [(share.name, share.figure) for share in self.shares]
        names = ("A gift costs in cash", "Hours given", "What they would have been worth")
        return lines + list(zip(names, self.gift, strict=True))
