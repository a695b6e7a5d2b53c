"""A small rack to test on: a supplier, a delivery of a few boards, a bottle of glue."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from planner.measures import Length
from shopapp.lumber.models import StockPiece, Supplier, Supply
from shopapp.lumber.stock.buying import BoughtLine, DeliveryFacts, book_delivery
from shopapp.lumber.supplies.actions import add_supply, buy_supply


def supplier(name: str = "Millrace Yard", **changes) -> Supplier:
    return Supplier.objects.create(name=name, **{"rule": "exact", **changes})


def line(wood: str = "walnut-black", **changes) -> BoughtLine:
    """A board of 27 by 150 by 2000 mm at 12.00 a board foot."""
    return BoughtLine(
        **{
            "wood": wood,
            "thickness": Length.of_mm(27),
            "width": Length.of_mm(150),
            "length": Length.of_mm(2000),
            "price": Decimal(12),
            "per": "bf",
            **changes,
        }
    )


def delivery(who, *lines: BoughtLine, seller: Supplier | None = None, carriage: Decimal = Decimal(0), tax=Fraction(0)):
    seller = seller or supplier(tax=tax)
    return book_delivery(who=who, facts=DeliveryFacts(seller, date(2026, 3, 2), carriage=carriage), lines=lines)


def boards(who, count: int = 1, **changes) -> list[StockPiece]:
    """``count`` boards alike on the rack."""
    delivery(who, line(count=count, **changes), seller=Supplier.objects.first() or supplier())
    return list(StockPiece.objects.order_by("-pk")[:count])[::-1]


def glue(who, name: str = "Hide glue", amount: str = "500") -> Supply:
    """A bottle of glue at 12.50, kept in millilitres."""
    row = add_supply(who=who, values={"name": name, "kind": "glue", "unit": "ml"})
    buy_supply(who=who, supply=row, amount=Decimal(amount), cost=Decimal("12.50"), on=date(2026, 3, 2))
    row.refresh_from_db()
    return row
