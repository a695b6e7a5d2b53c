"""The content policy allows nothing inline, so no template may hold any; and no file outgrows its purpose."""

from __future__ import annotations

import re
from pathlib import Path

from tests.support.each import each

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
# What every paper begins with: it is read by the PDF engine, not by a browser, and carries its own sheet.
PAPER = "paper.html"
LONGEST = 400
# A table of data, a row a wood, each value with its source.
LONG_WITH_REASON = {"planner/woods/table.py"}


@each("path", TEMPLATES, ids=str)
def test_no_template_holds_inline_style_or_script(path):
    text = path.read_text()
    assert not re.search(r"\son[a-z]+\s*=", text)
    assert not re.search(r"\sstyle\s*=", text)
    if path.name != PAPER:
        assert "<style" not in text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)


@each("path", TEMPLATES, ids=str)
def test_every_table_has_a_caption_and_its_heads_a_scope(path):
    text = path.read_text()
    for table in re.findall(r"<table.*?</table>", text, re.DOTALL):
        assert "<caption" in table
        assert all("scope=" in head for head in re.findall(r"<th\b[^>]*>", table))


def test_no_source_file_outgrows_its_purpose():
    long = [
        str(path.relative_to(ROOT))
        for folder in ("planner", "shopapp", "tests", "static")
        for path in (ROOT / folder).rglob("*")
        if path.suffix in {".py", ".js", ".css"} and "migrations" not in path.parts
        if len(path.read_text().splitlines()) > LONGEST
    ]
    assert set(long) <= LONG_WITH_REASON
