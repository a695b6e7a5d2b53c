"""Charts: pictures printed or drawn as coloured cells with ruled lines between them."""

from planner.picture.charts.agreeing import lies_on_cells
from planner.picture.charts.finding import LEAST_SCORE, ChartFound, find_charts

__all__ = ["LEAST_SCORE", "ChartFound", "find_charts", "lies_on_cells"]
