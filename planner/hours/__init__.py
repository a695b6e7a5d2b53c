"""How long work takes this maker: standard times by counts, and what the log of finished work makes of them.

standard   the operations, their default minutes, and a board's minutes from its counts
learning   the maker's own times from what was logged
booked     time as it was written down, brought into what can be learned from
forecast   likely and careful hours from learned times
shown      both as figures
"""

from planner.hours.booked import WHOLE, Booked, Standing, finished_work, standings
from planner.hours.forecast import Forecast, forecast, forecast_together
from planner.hours.learning import Logged, Times, learn, times_as_said
from planner.hours.shown import hour_figures, rests_on
from planner.hours.standard import DEFAULT_TIMES, OPERATIONS, Operation, count_operations, likely_minutes

__all__ = [
    "DEFAULT_TIMES",
    "OPERATIONS",
    "WHOLE",
    "Booked",
    "Forecast",
    "Logged",
    "Operation",
    "Standing",
    "Times",
    "count_operations",
    "finished_work",
    "forecast",
    "forecast_together",
    "hour_figures",
    "learn",
    "likely_minutes",
    "rests_on",
    "standings",
    "times_as_said",
]
