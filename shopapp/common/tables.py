"""The house's one writer of tables for spreadsheets, and its reader: comma-separated lines (RFC 4180) in UTF-8 with the
mark that tells a spreadsheet so, days as 2026-03-05, numbers plain, and no text that a spreadsheet takes for a formula.

What is dangerous at the start of a cell is OWASP's list (CSV Injection, read November 2026: = + - @, tab, line ends,
their full-width forms, and the same behind a separator or a quote, where a program splits the line otherwise than we
do) and ASVS 5.0.0, 1.2.10, which adds nought characters; “|” and “%” start formulas in programs that are rare today. An
apostrophe is put before it, and before one that stands there already, so that taking one away gives every text back.
A spreadsheet that saves the file anew may drop the apostrophes: the file is for reading, not for sending on.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from django.http import HttpResponse, StreamingHttpResponse

Cell = str | int | Decimal | date | None
CODING = "utf-8-sig"
# What Unicode holds to be the same as one of these, and the minus sign of mathematics, which some spreadsheets read.
_SIGNS = ("=", "+", "-", "@", "|", "%", "\u2212")
_STARTS = "".join(sign for sign in map(chr, range(0x10000)) if unicodedata.normalize("NFKC", sign) in _SIGNS)
# White space, what takes no room at all, and quotes: a spreadsheet may pass over each.
_PASSED_OVER = r"\s\x00-\x20\x7f\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff'\""
_BEGINS = r"(?:(?<=[,;|\t\r\n])|\A)"
_FORMULA = rf"[{_PASSED_OVER}]*[{re.escape(_STARTS)}]"
_LOOKS_SO = re.compile(rf"{_BEGINS}(?={_FORMULA})|\A(?='*[\t\r\n\x00])")
_WAS_MADE_SAFE = re.compile(rf"{_BEGINS}'(?={_FORMULA})|\A'(?='*[\t\r\n\x00])")


def safe(text: str) -> str:
    """A text no spreadsheet takes for a formula, wherever it splits it.

    >>> safe("=1+1"), safe("loft"), safe("oak;=1")
    ("'=1+1", 'loft', "oak;'=1")
    """
    return _LOOKS_SO.sub("'", text)


def plain(text: str) -> str:
    """The text that was made safe.

    >>> plain("'=1+1"), plain("'tis oak"), plain("oak;'=1")
    ('=1+1', "'tis oak", 'oak;=1')
    """
    return _WAS_MADE_SAFE.sub("", text)


def table(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    return b"".join(parts(heads, [rows]))


def parts(heads: Sequence[str], chunks: Iterable[Iterable[Sequence[Cell]]]) -> Iterator[bytes]:
    """The table in parts, the heads first, then a part for each of ``chunks``."""
    yield _line(heads).encode(CODING)
    for rows in chunks:
        yield "".join(map(_line, rows)).encode()


def answer(name: str, data: bytes | Iterator[bytes]) -> HttpResponse | StreamingHttpResponse:
    """A table to be kept as a file called ``name``."""
    kind = HttpResponse if isinstance(data, bytes) else StreamingHttpResponse
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "private, no-store"}
    return kind(data, content_type="text/csv; charset=utf-8", headers=headers)


def read(data: bytes) -> list[dict[str, str]]:
    """The rows of a table of ours by their heads, every text as it was; numbers and days as they are written."""
    rows = csv.reader(io.StringIO(data.decode(CODING), newline=""), strict=True)
    heads = [plain(head) for head in next(rows)]
    return [dict(zip(heads, map(plain, row), strict=True)) for row in rows]


def _line(cells: Sequence[Cell]) -> str:
    return ",".join(map(_written, cells)) + "\r\n"


def _written(cell: Cell) -> str:
    """A number stays a number, below nought too; all else is a text in quotes (RFC 4180, 2.5 to 2.7)."""
    if cell is None or cell == "":
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    if isinstance(cell, int):
        return str(int(cell))
    if isinstance(cell, date):
        return cell.isoformat()
    return '"' + safe(cell).replace('"', '""') + '"'
