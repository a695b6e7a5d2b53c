"""The door to the planner for consumables: the moving average, and what boards are reckoned with by it."""

from planner.average import Held, bought, counted, used
from planner.pricing import Shelved
from shopapp.lumber.models import Supply

__all__ = ["Held", "bought", "counted", "shelf", "used"]


def shelf() -> list[Shelved]:
    """What is kept of every kind. One query."""
    rows = Supply.objects.filter(kept=True, amount__gt=0)
    return [Shelved(row.kind, row.unit, Held(row.amount, row.worth)) for row in rows]
