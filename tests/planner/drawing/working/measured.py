"""A working drawing of a board measured back: dimension lines, wood and seams in millimetres, words turned or not."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from tests.planner.drawing.marking.svg import SVG, Words, advance
from tests.planner.drawing.working.canvas import Drawn

_NUMBER = r"(-?[\d.]+)"


@dataclass(frozen=True)
class Dimension:
    """What a dimension line says of itself, and where it was drawn: from and to in millimetres of the drawing's own
    corner, along the board or across it."""

    name: str
    mm: Fraction
    begin: float
    end: float
    across: bool


class Measured(Drawn):
    def __init__(self, svg: str) -> None:
        super().__init__(svg)
        self.scale, self.left, self.top = (
            float(self.root.get(f"data-{name}") or scale)
            for name, scale in (("along", "1"), ("left", "0"), ("top", "0"))
        )

    def paths(self, kind: str) -> list:
        return [path for path in self.root.iter(f"{SVG}path") if path.get("data-kind") == kind]

    def dimensions(self) -> list[Dimension]:
        found = []
        for path in self.paths("dimension"):
            x, y, way, long = re.fullmatch(rf"M{_NUMBER} {_NUMBER}([hv]){_NUMBER}", path.get("d")).groups()
            across = way == "v"
            begin = (float(y) - self.top if across else float(x) - self.left) / self.scale
            end = begin + float(long) / self.scale
            found.append(Dimension(path.get("data-of"), Fraction(path.get("data-mm")), begin, end, across))
        return found

    def wood(self) -> dict[str, list[tuple[float, ...]]]:
        """By wood the boxes of its pieces: left, top, how long and how wide in millimetres."""
        found: dict[str, list[tuple[float, ...]]] = defaultdict(list)
        for path in self.root.iter(f"{SVG}path"):
            if (path.get("data-kind") or "").startswith("wood "):
                found[path.get("data-wood")] += self.rectangles(path)
        return found

    def rectangles(self, path) -> list[tuple[float, ...]]:
        boxes = re.findall(rf"M{_NUMBER} {_NUMBER}h{_NUMBER}v{_NUMBER}h", path.get("d"))
        return [
            (
                (float(x) - self.left) / self.scale,
                (float(y) - self.top) / self.scale,
                float(long) / self.scale,
                float(high) / self.scale,
            )
            for x, y, long, high in boxes
        ]

    def uprights(self, kind: str) -> list[tuple[float, float, float]]:
        """x, from and to of the lines across the board of a kind, in millimetres."""
        found = []
        for path in self.paths(kind):
            for x, y, high in re.findall(rf"M{_NUMBER} {_NUMBER}v{_NUMBER}(?=M|$)", path.get("d")):
                begin = (float(y) - self.top) / self.scale
                found.append(((float(x) - self.left) / self.scale, begin, begin + float(high) / self.scale))
        return found

    def words(self) -> list[Words]:
        """Upright words run upwards from where they are put."""
        found = []
        for text in self.root.iter(f"{SVG}text"):
            size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
            wide = advance(text.text, text.get("font-weight") == "600") * size
            if text.get("transform"):
                assert text.get("transform") == f"rotate(-90 {text.get('x')} {text.get('y')})"
                found.append(Words(text.text, x - 0.66 * size, y - wide, x + 0.2 * size, y))
                continue
            left = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0)
            found.append(Words(text.text, left, y - 0.66 * size, left + wide, y + 0.2 * size))
        return found

    def texts(self) -> list[str]:
        return [text.text.replace("\u00a0\u00a0", " ") for text in self.root.iter(f"{SVG}text")]

    def sizes(self) -> list[float]:
        return [float(text.get("font-size")) for text in self.root.iter(f"{SVG}text")]
