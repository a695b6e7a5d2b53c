"""Charts: pictures printed or drawn as coloured cells with ruled lines between them."""

from planner.picture.charts.finding import ChartFound, find_charts

__all__ = ["ChartFound", "find_charts"]
