"""A table goes out so that every spreadsheet reads it, takes no text of it for a formula, and every cell comes back."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopapp.common import tables

FORMULAS = json.loads((Path(__file__).parents[1] / "reference" / "formulas.json").read_text())["formulas"]
# What a cell must not begin with (OWASP), once white space, what takes no room, and quotes are passed over.
DANGEROUS = ("=", "+", "-", "@", "\u2212")


def cells_however_split(written: str) -> list[str]:
    """Every cell that some program may see in a line, whichever sign it splits it at and whatever of quotes."""
    split = [written]
    for sign in ",;|\t\r\n":
        split += re.split(re.escape(sign), written)
    split += re.split(r"[,;\t\r\n]", written)
    return split


def is_a_formula(cell: str) -> bool:
    """As a careless program would see it: white space, what takes no room and quotes are nothing. An apostrophe that
    stands first makes a text of what follows."""
    bare = cell.lstrip(' \t\r\n\u00a0\u200b\ufeff\u202e\x00"')
    return unicodedata.normalize("NFKC", bare[:1]) in DANGEROUS


@pytest.mark.parametrize(("cell", "source"), [row[1:] for row in FORMULAS], ids=[row[0] for row in FORMULAS])
def test_no_formula_reaches_a_spreadsheet_and_its_text_comes_back(cell, source):
    assert any(map(is_a_formula, cells_however_split(cell.lstrip("'")))) or cell[0] in "\t\r\n"
    data = tables.table(["what", "next"], [[cell, "oak"]])
    line = data.decode(tables.CODING).split("\r\n", 1)[1]
    assert not any(map(is_a_formula, cells_however_split(line)))
    assert cell[0] not in "\t\r\n\x00" or line.startswith("\"'")
    assert tables.read(data) == [{"what": cell, "next": "oak"}]


def test_there_are_more_than_twenty_kinds_of_them():
    assert len({row[0] for row in FORMULAS}) == len({row[1] for row in FORMULAS}) == len(FORMULAS) >= 20


def test_what_is_no_formula_stands_as_it_was_written():
    for text in (
        "loft",
        "oak -1",
        "'tis oak",
        '5/8" - oak',
        "Tom & Sons, 3 boards",
        "a\nb",
        "50 % oiled",
        "",
        "Fläche €",
    ):
        assert tables.safe(text) == text == tables.plain(text)


def test_a_number_below_nought_stays_a_number_and_a_text_that_looks_like_one_is_a_text():
    data = tables.table(["sum", "note", "on", "count", "none"], [[Decimal("-12.00"), "-12", date(2026, 3, 5), 7, None]])
    assert data.decode(tables.CODING).split("\r\n")[1] == '-12.00,"\'-12",2026-03-05,7,'
    assert tables.read(data) == [{"sum": "-12.00", "note": "-12", "on": "2026-03-05", "count": "7", "none": ""}]
    assert tables.table(["n"], [[Decimal("1E+3")]]).endswith(b"1000\r\n")


def test_the_file_says_that_it_is_utf_8_and_any_reader_of_such_tables_reads_it():
    data = tables.table(["Holz; €", "=x"], [["Nuß, „schwarz“", 'five "eighths"']])
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert rows == [["Holz; €", "'=x"], ["Nuß, „schwarz“", 'five "eighths"']]


@given(
    st.lists(st.lists(st.text("=+-@'\";,|\t\r\n a1\uff1d\u200b\x00", max_size=9), min_size=2, max_size=2), max_size=4)
)
def test_whatever_is_written_comes_back_equal_and_no_cell_of_it_is_a_formula(rows):
    data = tables.table(["one", "=two"], rows)
    assert [list(row.values()) for row in tables.read(data)] == rows
    for cell in (cell for row in rows for cell in row):
        assert not any(map(is_a_formula, cells_however_split(tables.safe(cell))))
