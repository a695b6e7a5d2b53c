"""The door to the planner for consumables: the moving average."""

from planner.average import Held, bought, counted, used

__all__ = ["Held", "bought", "counted", "used"]
