"""A working drawing as it is painted, in grey: what lies under a place, and how strongly one thing stands out from
another. Contrast is reckoned from luminance, which is what is left of a colour in grey (WCAG 2.2)."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from planner.drawing import luminance
from tests.planner.drawing.marking.svg import SVG, advance

# The page by day and in the dark, each with its ink: paper and ink as tokens.css has them, near enough for contrast.
PAGES = {"paper": ((255, 255, 255), (36, 28, 21)), "dark": ((28, 24, 20), (240, 232, 220))}
_STEP = re.compile(r"([MLlhHvVaz])([^MLlhHvVaz]*)")


def rgb_of(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def contrast(one: str | tuple, other: str | tuple) -> float:
    dark, light = sorted(luminance(rgb_of(c) if isinstance(c, str) else c) for c in (one, other))
    return (light + 0.05) / (dark + 0.05)


def polygons(d: str) -> list[list[tuple[float, float]]]:
    """The corners of every shape of a path; an arc is taken as the straight line across it."""
    shapes, here = [], (0.0, 0.0)
    for command, rest in _STEP.findall(d):
        numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", rest)]
        x, y = here
        if command == "M":
            shapes.append([])
            here = numbers[0], numbers[1]
        elif command == "L":
            here = numbers[-2], numbers[-1]
        elif command == "l":
            here = x + numbers[0], y + numbers[1]
        elif command == "h":
            here = x + numbers[0], y
        elif command == "H":
            here = numbers[0], y
        elif command == "v":
            here = x, y + numbers[0]
        elif command == "V":
            here = x, numbers[0]
        elif command == "a":
            here = x + numbers[-2], y + numbers[-1]
        elif command == "z":
            continue
        shapes[-1].append(here)
    return shapes


def inside(shape: list[tuple[float, float]], x: float, y: float) -> bool:
    found = False
    for (ax, ay), (bx, by) in zip(shape, shape[1:] + shape[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            found = not found
    return found


class Painted:
    """``fills`` are (colour, shape) in the order they lie on each other; groups hand their fill down."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.fills: list[tuple[str, list[tuple[float, float]]]] = []
        self.texts = []
        self._walk(self.root, {"fill": "#000000"})
        # What a shape reaches, so that most are passed over at a glance.
        self._reach = [
            (min(xs), max(xs), min(ys), max(ys)) for _, shape in self.fills for xs, ys in [zip(*shape, strict=True)]
        ]

    def _walk(self, element, handed) -> None:
        mine = handed | {name: value for name, value in element.attrib.items() if name in ("fill", "stroke")}
        if element.tag == f"{SVG}path" and mine["fill"] != "none":
            self.fills += [(mine["fill"], shape) for shape in polygons(element.get("d")) if len(shape) > 2]
        elif element.tag == f"{SVG}rect" and mine["fill"] != "none":
            x, y, long, high = (float(element.get(n, "0")) for n in ("x", "y", "width", "height"))
            self.fills.append((mine["fill"], [(x, y), (x + long, y), (x + long, y + high), (x, y + high)]))
        elif element.tag == f"{SVG}text":
            self.texts.append((element, mine["fill"]))
        for child in element:
            self._walk(child, mine)

    def under(self, x: float, y: float) -> str | None:
        """The colour painted last at a place; None for the page itself."""
        for (colour, shape), (left, right, top, bottom) in zip(
            reversed(self.fills), reversed(self._reach), strict=True
        ):
            if left <= x <= right and top <= y <= bottom and inside(shape, x, y):
                return colour
        return None

    def words(self):
        """(text, its ink, what it stands on) for the middle and both ends of every text."""
        for text, ink in self.texts:
            size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
            wide = advance(text.text, text.get("font-weight") == "600") * size
            begin = -{"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0)
            for share in (0.03, 0.5, 0.97):
                along, over = begin + wide * share, size * 0.3
                place = (x - over, y - along) if text.get("transform") else (x + along, y - over)
                yield text.text, ink, self.under(*place)
