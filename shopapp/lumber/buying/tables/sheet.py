"""A table as it was pasted or as a file holds it: bytes to text, text to rows. Knows nothing of wood."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass

from planner.errors import PlannerError

# A table of so many lines with every column filled is about a megabyte.
MOST_BYTES = 3 * 1024 * 1024
LONGEST_CELL = 400
SEPARATORS = ("\t", ";", ",")
_BLANK = " \t;,\r\n\xa0\"'"
_SAVE = "Save it from your spreadsheet as CSV in UTF-8, or copy the cells and paste them."


class TableError(PlannerError):
    """What was brought is no table that can be read here."""


@dataclass(frozen=True)
class Sheet:
    """``heads`` as written, ``rows`` with the number a spreadsheet gives each, without those that are empty.
    ``heads_line`` is the number of the heads' own line."""

    separator: str
    heads_line: int
    heads: list[str]
    rows: list[tuple[int, list[str]]]


def text_of(data: bytes) -> str:
    """The text of a file in UTF-8, UTF-16 or Windows-1252. Raises TableError in words for anything else."""
    if not data.strip():
        raise TableError("The file is empty.", mend="Choose it again.")
    if len(data) > MOST_BYTES:
        raise TableError("The file is larger than 3 MB.", mend="Leave out what is not about the boards.")
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"\x89PNG", b"\xff\xd8")):
        raise TableError("That is no text but a file of another program.", mend=_SAVE)
    try:
        text = data.decode(_coding(data))
    except UnicodeDecodeError as error:
        raise TableError("The file holds signs that cannot be read.", mend=_SAVE) from error
    return text


def _coding(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    if data.startswith(b"\xef\xbb\xbf"):
        return "utf-8-sig"
    head = data[:400]
    if head.count(0) > len(head) // 4:
        # Every second byte is nought where plain letters stand in UTF-16.
        return "utf-16-be" if head[0] == 0 else "utf-16-le"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def sheet_of(text: str, is_head: Callable[[str], bool], most: int) -> Sheet:
    """The rows of a table whose first line names its columns, separated by tabs, semicolons or commas, whichever
    makes most heads known. At most ``most`` rows; more are refused before any of them is read."""
    text = text.removeprefix("\ufeff")
    if not text.strip(_BLANK):
        raise TableError("There is no table yet.", mend="Paste the cells, or choose a file.")
    if "\0" in text:
        raise TableError("There is a character in it that no text can hold.", mend=_SAVE)
    lines = sum(1 for line in text.splitlines() if line.strip(_BLANK))
    if lines > most + 2:
        raise TableError(f"There are {lines:,} lines in it.", mend=f"Bring at most {most:,} at a time.")
    first = next(line for line in text.splitlines() if line.strip(_BLANK))
    told = first[4:5] if first[:4].lower() == "sep=" else ""
    if told:
        # A line that some spreadsheets write before the heads.
        rest = text.split("\n", 1)[1] if "\n" in text else ""
        first = next((line for line in rest.splitlines() if line.strip(_BLANK)), "")
    separator = told if told in SEPARATORS else _separator(first, is_head)
    rows = [(n, row) for n, row in _rows(text, separator) if any(cell.strip() for cell in row)]
    if told:
        rows = rows[1:]
    if not rows:
        raise TableError("There is no table yet.", mend="Paste the cells, or choose a file.")
    if len(rows) > most + 1:
        raise TableError(f"There are {len(rows) - 1:,} lines in it.", mend=f"Bring at most {most:,} at a time.")
    (heads_line, heads), *below = rows
    return Sheet(separator, heads_line, [head.strip() for head in heads], below)


def _separator(first: str, is_head: Callable[[str], bool]) -> str:
    def known(separator: str) -> tuple[int, int]:
        cells = next(iter(csv.reader([first], delimiter=separator)), [])
        return sum(map(is_head, cells)), len(cells)

    return max(SEPARATORS, key=known)


def _rows(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Every row with its number; a cell that never ends is said by the number of its row."""
    rows: list[tuple[int, list[str]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        for number, row in enumerate(reader, start=1):
            if any(len(cell) > LONGEST_CELL for cell in row):
                raise TableError(
                    f"Line {number} has a cell of more than {LONGEST_CELL} characters.",
                    mend="Look for a quotation mark that opens and never closes.",
                )
            rows.append((number, row))
    except csv.Error as error:
        raise TableError(
            f"Line {len(rows) + 1} cannot be told into cells.",
            mend="Look for a quotation mark that opens and never closes.",
        ) from error
    return rows
