"""Whole numbers as addresses and hidden fields bring them, written by a browser or by anybody."""

from __future__ import annotations


def whole_number(text: str, digits: int = 17) -> int | None:
    """The number ``text`` is, of at most so many ``digits``; None for all else.

    Digits of other scripts are none here, thousands of them would be an error, and 17 fit into every database.

    >>> whole_number("12"), whole_number("-3"), whole_number("1" * 18)
    (12, None, None)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) <= digits else None
