"""The sections of a shop book in their order: each a key of ``book.html`` and what its own partial shows.

A function is given ``Told`` and answers with what ``templates/plans/book/_<key>.html`` shows under that key, or with
None where the book has no such section.
"""

from __future__ import annotations

from collections.abc import Callable

from .cover import cover_of
from .making import MAKING
from .sawing import marking_of, pieces_of, set_ups_of
from .told import Told

SECTIONS: dict[str, Callable[[Told], object]] = {
    "cover": cover_of,
    "gauged": lambda told: told.gauged,
    "pieces": pieces_of,
    "marking": marking_of,
    "set_ups": set_ups_of,
    **MAKING,
}


def sections_of(told: Told) -> dict[str, object]:
    """Every section by its key; what is not in the book is None."""
    return {key: section(told) for key, section in SECTIONS.items()}
