"""The text of a shop book as a general tool takes it out of the PDF (pdftotext of poppler), page by page.

Nothing of the house is imported here: a reader of the paper has nothing but the paper.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass

import pytest


class Misprint(Exception):
    """The paper contradicts itself, or does not say what it has to."""


@dataclass(frozen=True)
class Page:
    """``flowing`` are its lines in the order they were written, ``columns`` the same as they stand side by side, two
    spaces or more between columns. Heads and feet of the page are left out but for the ``section`` they name."""

    section: str
    flowing: tuple[str, ...]
    columns: tuple[str, ...]


Texts = tuple[str, str]


def texts_of(pdf: bytes) -> Texts:
    """All text twice: in the order it was written, and as it stands in columns; a form feed after each page."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    flowing, columns = (
        subprocess.run(["pdftotext", way, "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
        for way in ("-raw", "-layout")
    )
    return flowing, columns


_FOOT = re.compile(r"page \d+ of \d+$")


def pages_of(texts: Texts) -> list[Page]:
    both = ([_lines(page) for page in text.split("\f")[:-1]] for text in texts)
    return [_page(flowing, columns) for flowing, columns in zip(*both, strict=True)]


def _lines(page: str) -> list[str]:
    return [line.replace("\u00a0", " ").rstrip() for line in page.splitlines() if line.strip()]


def _page(flowing: list[str], columns: list[str]) -> Page:
    if not _FOOT.search(columns[-1]):
        raise Misprint(f"A page without its number: {columns[-1]}")
    head = re.split(r" {2,}", columns[0].strip())
    if len(head) < 2:
        # The cover names no section.
        return Page("", tuple(flowing[:-1]), tuple(columns[:-1]))
    # Written last, whatever stands first.
    end = next(n for n in range(len(flowing) - 1, -1, -1) if flowing[n].startswith(head[0]))
    return Page(head[-1], tuple(flowing[:end]), tuple(columns[1:-1]))


def section(pages: list[Page], name: str) -> list[Page]:
    found = [page for page in pages if page.section == name]
    if not found:
        raise Misprint(f"There is no section “{name}”, but {sorted({page.section for page in pages})}.")
    return found


def is_in(pages: list[Page], name: str) -> bool:
    return any(page.section == name for page in pages)


# --- numbers --------------------------------------------------------------------------------------------------

# A length without its unit: 12, 12.95, 3/4 or 1 3/4.
LENGTH = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"


def fields(line: str) -> list[str]:
    return re.split(r" {2,}", line.strip())


def whole(text: str) -> int:
    if not re.fullmatch(r"\d+", text):
        raise Misprint(f"Not a count: {text!r}")
    return int(text)


def agree(what: str, *counts: object) -> None:
    """Raises Misprint where counts of one thing differ."""
    if any(count != counts[0] for count in counts):
        raise Misprint(f"{what}: {', '.join(map(str, counts))}")
