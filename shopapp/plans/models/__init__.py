"""Boards as they were reckoned and kept, the search for where their wood is cut, and the sheets kept of it."""

from .book import ShopBook, book_fingerprint
from .cutting import CutPaper, CutSearch, CutSheet, sheet_fingerprint
from .doing import CutEntry
from .making import TileMeasured
from .plans import MOST_MINUTES, MOST_PRICE, BuildSheet, Plan, canonical, fingerprint, sign_of_read
from .timetable import KeptTimetable, StepTick, TimetablePaper, TimetableSearch, timetable_fingerprint

__all__ = [
    "MOST_MINUTES",
    "MOST_PRICE",
    "BuildSheet",
    "CutEntry",
    "CutPaper",
    "CutSearch",
    "CutSheet",
    "KeptTimetable",
    "Plan",
    "ShopBook",
    "StepTick",
    "TileMeasured",
    "TimetablePaper",
    "TimetableSearch",
    "book_fingerprint",
    "canonical",
    "fingerprint",
    "sheet_fingerprint",
    "sign_of_read",
    "timetable_fingerprint",
]
