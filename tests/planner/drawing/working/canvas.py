"""Working drawings read back: boxes by kind in drawing units, words with the boxes the real font gives them."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

from tests.planner.drawing.marking.svg import SVG, Words, advance

_NUMBER = r"(-?[\d.]+)"


class Drawn:
    def __init__(self, svg: str) -> None:
        self.svg = svg
        self.root = ElementTree.fromstring(svg)
        self.width, self.height = (float(side) for side in self.root.get("viewBox").split()[2:])

    def data(self, name: str) -> str:
        return self.root.get(f"data-{name}")

    @property
    def said(self) -> str:
        return self.root.find(f"{SVG}desc").text

    def kinds(self) -> list[str]:
        return [path.get("data-kind") for path in self.root.iter(f"{SVG}path") if path.get("data-kind")]

    def path(self, kind: str):
        return next((p for p in self.root.iter(f"{SVG}path") if p.get("data-kind") == kind), None)

    def boxes(self, kind: str) -> list[tuple[float, float, float, float]]:
        """Left, top, how long and how high, in the order they were drawn."""
        path = self.path(kind)
        found = re.findall(rf"M{_NUMBER} {_NUMBER}h{_NUMBER}v{_NUMBER}h", path.get("d") if path is not None else "")
        return [tuple(map(float, one)) for one in found]

    def texts(self) -> list[str]:
        return [text.text for text in self.root.iter(f"{SVG}text")]

    def words(self) -> list[Words]:
        found = []
        for text in self.root.iter(f"{SVG}text"):
            size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
            wide = advance(text.text, text.get("font-weight") == "600") * size
            left = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0)
            found.append(Words(text.text, left, y - 0.66 * size, left + wide, y + 0.2 * size))
        return found


def assert_words_have_room(drawn: Drawn) -> None:
    """No words lie on each other or leave the sheet, by the font's own widths."""
    words = drawn.words()
    for word in words:
        assert word.left > -0.01 and word.right < drawn.width + 0.01, word
        assert word.top > -0.01 and word.bottom < drawn.height + 0.01, word
    for one, other in combinations(words, 2):
        apart = one.right <= other.left + 0.01 or other.right <= one.left + 0.01
        assert apart or one.bottom <= other.top + 0.01 or other.bottom <= one.top + 0.01, (one, other)


def assert_plain(drawn: Drawn) -> None:
    """One path a kind, attributes only, and words for whoever cannot see it."""
    kinds = drawn.kinds()
    assert len(kinds) == len(set(kinds))
    assert "style=" not in drawn.svg and "<script" not in drawn.svg and "url(" not in drawn.svg
    assert drawn.root.get("role") == "img" and drawn.root.get("aria-label") and drawn.said
