"""How long work takes this maker: standard times by counts, and what the log of finished work makes of them.

standard   the operations, their default minutes, and a board's minutes from its counts
learning   the maker's own times from what was logged
forecast   likely and careful hours from learned times
"""

from planner.hours.forecast import Forecast, forecast, forecast_together
from planner.hours.learning import Logged, Times, learn
from planner.hours.standard import DEFAULT_TIMES, OPERATIONS, Operation, count_operations, likely_minutes

__all__ = [
    "DEFAULT_TIMES",
    "OPERATIONS",
    "Forecast",
    "Logged",
    "Operation",
    "Times",
    "count_operations",
    "forecast",
    "forecast_together",
    "learn",
    "likely_minutes",
]
