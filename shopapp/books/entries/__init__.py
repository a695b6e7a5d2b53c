"""What the ledgers say, row by row, each on its day and in its currency, in a fixed number of queries."""

from .entry import Currency, Entry
from .lines import LINES, Line, lines_in_order
from .reading import Ledger, ledger

__all__ = ["LINES", "Currency", "Entry", "Ledger", "Line", "ledger", "lines_in_order"]
