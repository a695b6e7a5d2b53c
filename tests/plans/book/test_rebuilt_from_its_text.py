"""From the text of a shop book alone a stranger rebuilds the board: picture, parts with their sizes, every set-up.

The text is taken out of the PDF by pdftotext and read by readers that import nothing of the house (``tests/support``:
``book_pages``, ``book_text``, ``book_set_ups``). What they find is held against the record of the kept plan and the
set-ups kept with its cut plan. ``test_a_misprint_is_noticed`` shows that they read every number.
"""

from __future__ import annotations

import re
from collections import Counter

import pytest

from planner.measures import format_length
from tests.support.book_boards import CASES, Told
from tests.support.book_pages import pages_of
from tests.support.book_set_ups import sawing_of
from tests.support.book_text import Parts, parts_of, rows_of

pytestmark = pytest.mark.django_db
every_board = pytest.mark.parametrize("printed", list(CASES), indirect=True)
every_sawn = pytest.mark.parametrize("printed", [name for name, case in CASES.items() if case.sawn], indirect=True)


def tiles_and_depth(name: str) -> tuple[int, int]:
    """What a part's name says: how many tiles long it is, of how many rows of the picture."""
    deep = re.search(r", (\d+) rows deep$", name)
    tiles = re.search(r"(?:run|strip) of (\d+)|with (\d+) of background", name)
    one = int(name.split(",")[0] in ("tile", "end tile", "through tile"))
    return int(tiles[1] or tiles[2]) if tiles else one, int(deep[1]) if deep else 1


def of_text(parts: Parts) -> Counter:
    return Counter((part.wood, *tiles_and_depth(part.name), part.pieces, part.stages) for part in parts.parts)


@every_board
def test_the_picture_and_every_row_are_rebuilt(printed):
    told, rows = Told(printed), rows_of(pages_of(printed.texts))
    assert rows.picture == told.picture()
    assert rows.copies == printed.record["spec"]["quantity"]
    assert list(rows.rows) == told.rows()
    assert list(rows.panels) == told.all_panels()
    assert list(rows.turned) == [(row["panel"], row["turned"]) for row in printed.record["laid"] if told.panels]


@every_board
def test_every_part_is_rebuilt_with_its_count_and_its_size_at_every_stage(printed):
    told, parts = Told(printed), parts_of(pages_of(printed.texts))
    assert of_text(parts) == told.parts()
    assert parts.woods == told.woods()
    assert parts.copies == printed.record["spec"]["quantity"]


@every_sawn
def test_every_set_up_is_rebuilt(printed):
    told, sawing = Told(printed), sawing_of(pages_of(printed.texts))
    assert sawing.kerfs == tuple(format_length(kerf, printed.unit, with_unit=False) for kerf in printed.kerfs)
    assert sawing.set_ups == told.sawing()
    assert sawing.tape == told.tape()


@every_board
def test_rows_parts_and_set_ups_say_the_same_of_one_another(printed):
    """As many pieces are laid as are cut, of the same sizes."""
    pages = pages_of(printed.texts)
    rows, parts, copies = rows_of(pages), parts_of(pages), printed.record["spec"]["quantity"]
    if rows.panels:
        laid = Counter(
            (piece.wood, piece.size, long)
            for panel in rows.panels
            for many, long in panel.glued
            for piece in panel.pieces
            for _ in range(many)
        )
        cut = Counter()
        for part in parts.parts:
            cut[part.wood, part.stages[1][1], part.stages[1][0]] += part.pieces
    else:
        laid = Counter((piece.wood, piece.size) for row in rows.rows for piece in row.pieces for _ in range(copies))
        cut = Counter()
        for part in parts.parts:
            if part.name not in ("top or bottom border", "left or right border"):
                cut[part.wood, part.stages[2][0]] += part.pieces
    assert laid == cut
