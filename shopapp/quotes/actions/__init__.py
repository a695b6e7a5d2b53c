"""What is done with quotes: made for good (``making``), told how far they are (``telling``)."""

from .making import Offer, Offered, ask_for_paper, make_paper, make_quote
from .telling import COMES_AFTER, OPEN, QuoteMoved, lock, state_of, tell_next, tell_quote

__all__ = [
    "COMES_AFTER",
    "OPEN",
    "Offer",
    "Offered",
    "QuoteMoved",
    "ask_for_paper",
    "lock",
    "make_paper",
    "make_quote",
    "state_of",
    "tell_next",
    "tell_quote",
]
