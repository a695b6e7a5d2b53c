"""The style sheets hang together: nothing undefined, nothing fetched from elsewhere, the reader's own wishes kept."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHEETS = {path.name: path.read_text() for path in (ROOT / "static" / "css").glob("*.css")}
EVERYTHING = "\n".join(SHEETS.values())
PAGES = "\n".join(path.read_text() for path in (ROOT / "templates").rglob("*.html"))


def test_every_token_that_is_used_is_defined_among_the_tokens():
    used = set(re.findall(r"var\((--[\w-]+)", EVERYTHING))
    assert used and used <= set(re.findall(r"(--[\w-]+):", SHEETS["tokens.css"]))


def test_colours_on_pages_are_tokens():
    """A colour written out escapes the dark theme; only wood, print and what stands on white paper may be written."""
    written = re.findall(r"^([^{}@/]+)\{[^}]*#[0-9a-f]{3,6}\b", SHEETS["base.css"] + SHEETS["components.css"], re.M)
    assert {rule.strip() for rule in written} <= {"body", ".pattern"}


@pytest.mark.parametrize("name", SHEETS)
def test_a_style_sheet_fetches_nothing_but_the_houses_fonts(name):
    assert "@import" not in SHEETS[name]
    assert all(address.startswith("../fonts/") for address in re.findall(r'url\("?([^")]+)', SHEETS[name]))


def test_movement_is_shown_only_to_whoever_has_not_asked_for_stillness():
    moving = re.sub(r"@media \(prefers-reduced-motion: no-preference\) \{[^}]*\{[^}]*\}\s*\}", "", EVERYTHING)
    assert not re.search(r"(?<![\w-])(animation|transition):", moving)


def test_the_focus_ring_is_never_taken_away_from_a_control():
    bare = re.findall(r"([^{}]+)\{[^}]*outline:\s*(?:none|0)\b", EVERYTHING)
    # The skip link moves the focus to the page itself, which is no control.
    assert [rule.strip() for rule in bare] == ["main:focus"]


def test_no_class_is_styled_that_no_page_wears():
    worn = set(re.findall(r"[\w-]+", " ".join(re.findall(r'class="([^"]*)"', PAGES))))
    made = (ROOT / "shopapp" / "common" / "templatetags" / "shop.py").read_text()
    styled = set(re.findall(r"\.([a-z][\w-]*)", re.sub(r"url\([^)]*\)|/\*.*?\*/", "", EVERYTHING, flags=re.S)))
    assert {n for n in styled - worn if f'"{n}"' not in made and not re.match(r"(told|bar)-", n)} == set()
