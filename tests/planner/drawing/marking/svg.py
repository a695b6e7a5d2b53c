"""Marking-out drawings read back: paths by kind in drawing units, words with the boxes the real font gives them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import as_file, files
from xml.etree import ElementTree

from fontTools.ttLib import TTFont

SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = r"(-?[\d.]+)"


@dataclass(frozen=True)
class Words:
    """Text and the box it covers: capitals' height over the line, a little under it."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


class Read:
    """A drawing: ``x`` and ``y`` turn its coordinates into millimetres of the board."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.along, self.across, self.left, self.top = (
            float(self.root.get(f"data-{name}")) for name in ("along", "across", "left", "top")
        )
        self.width, self.height = (float(side) for side in self.root.get("viewBox").split()[2:])

    def kinds(self) -> list[str]:
        return [path.get("data-kind") for path in self.root.iter(f"{SVG}path")]

    def path(self, kind: str) -> str:
        return next((p.get("d") for p in self.root.iter(f"{SVG}path") if p.get("data-kind") == kind), "")

    def x(self, at: float) -> float:
        return (at - self.left) / self.along

    def y(self, at: float) -> float:
        return (at - self.top) / self.across

    def boxes(self, kind: str) -> list[tuple[float, float, float, float]]:
        """Left, top, right, bottom of every box of a kind, in millimetres."""
        found = re.findall(rf"M{_NUMBER} {_NUMBER}h{_NUMBER}v{_NUMBER}h", self.path(kind))
        return [
            (self.x(x), self.y(y), self.x(x + long), self.y(y + high))
            for x, y, long, high in (map(float, one) for one in found)
        ]

    def uprights(self, kind: str) -> list[tuple[float, float, float]]:
        """x, top, bottom of every line across the board, in millimetres."""
        found = re.findall(rf"M{_NUMBER} {_NUMBER}v{_NUMBER}(?=M|$)", self.path(kind))
        return [(self.x(x), self.y(y), self.y(y + high)) for x, y, high in (map(float, one) for one in found)]

    def levels(self, kind: str) -> list[tuple[float, float, float]]:
        """y, from, to of every line along the board, in millimetres."""
        found = re.findall(rf"M{_NUMBER} {_NUMBER}h{_NUMBER}(?=M|$)", self.path(kind))
        return [(self.y(y), self.x(x), self.x(x + long)) for x, y, long in (map(float, one) for one in found)]

    def words(self) -> list[Words]:
        found = []
        for text in self.root.iter(f"{SVG}text"):
            size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
            wide = advance(text.text, text.get("font-weight") == "600") * size
            left = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0)
            found.append(Words(text.text, left, y - 0.66 * size, left + wide, y + 0.2 * size))
        return found


@lru_cache(maxsize=2)
def _font(bold: bool) -> TTFont:
    name = f"SourceSansPro-{'Semibold' if bold else 'Regular'}.ttf"
    with as_file(files("font_source_sans_pro") / "files" / name) as path:
        return TTFont(path)


@cache
def advance(text: str, bold: bool) -> float:
    """How wide the font itself sets a text, in its own size."""
    font = _font(bold)
    names, widths = font.getBestCmap(), font["hmtx"]
    return sum(widths[names[ord(letter)]][0] for letter in text) / font["head"].unitsPerEm
