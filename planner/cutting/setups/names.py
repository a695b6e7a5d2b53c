"""What the pieces of a cut plan are called, in chalk on the wood and on every sheet. Everything counts from 1."""

from __future__ import annotations


def rough_name(board: str, rough: int) -> str:
    """The ``rough``-th rough length of a board, counted from 1 from the end the tape is hooked on.

    >>> rough_name("WAL12", 2)
    'WAL12-2'
    """
    return f"{board}-{rough}"


def strip_name(board: str, rough: int, strip: int) -> str:
    """The ``strip``-th strip of a rough length, both counted from 1; the strips of a second layer go on counting.

    >>> strip_name("WAL12", 2, 3)
    'WAL12-2.3'
    """
    return f"{rough_name(board, rough)}.{strip}"


def layer_name(board: str, rough: int) -> str:
    """The second layer of a resawn rough length; the first keeps the rough length's own name.

    >>> layer_name("WAL12", 2)
    'WAL12-2 under'
    """
    return f"{rough_name(board, rough)} under"
