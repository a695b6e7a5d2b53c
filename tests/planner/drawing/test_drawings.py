"""Drawings hold one path a wood, every piece in its place, and nothing a content policy would refuse."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from planner.drawing import MARKS, Piece, WoodLook, board_svg, mark_path, pattern_svg, plank_svg
from planner.drawing.looks import luminance
from planner.pattern import Pattern
from planner.woods import WOODS

SVG = "{http://www.w3.org/2000/svg}"
LOOKS = {
    w.id: WoodLook(w.name, w.finished_rgb, mark) for w, mark in zip(WOODS.values(), [*MARKS, *MARKS], strict=False)
}
PATTERN = Pattern.of([[None, "beech", "beech"], ["sapele", "sapele", "beech"]])


def filled(svg: str) -> dict[str, float]:
    """Area filled in each colour, from paths made of rectangles."""
    areas: dict[str, float] = {}
    for path in ElementTree.fromstring(svg).iter(f"{SVG}path"):
        fill = path.get("fill")
        if fill in (None, "none"):
            continue
        for wide, high in re.findall(r"h(-?[\d.]+)v([\d.]+)h", path.get("d")):
            areas[fill] = areas.get(fill, 0) + float(wide) * float(high)
    return areas


def test_a_pattern_is_one_path_a_wood_with_the_area_of_its_tiles():
    areas = filled(pattern_svg(PATTERN, LOOKS, cell=10))
    assert areas == {LOOKS["beech"].fill: 300, LOOKS["sapele"].fill: 200}


def test_every_run_wears_its_woods_mark_once():
    svg = pattern_svg(PATTERN, LOOKS, cell=10, lines=False, numbers=False)
    strokes = [p for p in ElementTree.fromstring(svg).iter(f"{SVG}path") if p.get("fill") == "none"]
    one = len(re.findall("M", mark_path(LOOKS["beech"].mark, 0, 0, 1)))
    assert len(re.findall("M", strokes[0].get("d"))) == 2 * one


def test_rows_and_columns_are_numbered_from_the_top_left():
    wide = Pattern.of([["beech"] * 12] * 7)
    texts = [t.text for t in ElementTree.fromstring(pattern_svg(wide, LOOKS)).iter(f"{SVG}text")]
    assert texts == ["1", "5", "7", "1", "5", "10", "12"]


def test_a_board_shows_each_woods_own_share():
    pieces = [Piece(0, 0, 60, 20, "beech"), Piece(60, 0, 40, 20, "sapele")]
    svg = board_svg(pieces, 100, 20, LOOKS, "A board")
    assert sorted(filled(svg).values()) == [800, 1200]
    assert ElementTree.fromstring(svg).get("aria-label") == "A board"


@pytest.mark.parametrize(
    "svg",
    [
        pattern_svg(PATTERN, LOOKS, title='<"&'),
        board_svg([Piece(0, 0, 9, 9, "beech")], 9, 9, LOOKS, '<"&'),
        plank_svg(WoodLook('<"&', (9, 9, 9), "ring")),
    ],
)
def test_no_drawing_holds_style_or_script_and_every_text_is_escaped(svg):
    ElementTree.fromstring(svg)
    assert "style=" not in svg and "<script" not in svg and '<"&' not in svg


def test_the_same_board_is_drawn_the_same_way_every_time():
    pieces = [Piece(i * 10, 0, 10, 10, "beech") for i in range(9)]
    assert board_svg(pieces, 90, 10, LOOKS, "x") == board_svg(pieces, 90, 10, LOOKS, "x")


def test_no_two_marks_are_drawn_alike():
    assert len({mark_path(name, 0, 0, 10) for name in MARKS}) == len(MARKS) >= 12


def test_a_mark_is_the_same_wherever_it_stands_and_keeps_to_its_square():
    for name, lines in MARKS.items():
        points = absolute(mark_path(name, 30, 40, 6))
        wanted = [(30 + x * 6, 40 + y * 6) for line in lines for x, y in line]
        assert np.allclose(points, wanted, atol=0.011, rtol=0)
        assert all(30 <= x <= 36 and 40 <= y <= 46 for x, y in points)


def absolute(path: str) -> list[tuple[float, float]]:
    """The points of a path of moves and steps."""
    points: list[tuple[float, float]] = []
    for kind, x, y in re.findall(r"([Ml])(-?[\d.]+) (-?[\d.]+)", path):
        left, top = points[-1] if kind == "l" else (0.0, 0.0)
        points.append((left + float(x), top + float(y)))
    return points


@pytest.mark.parametrize("wood", WOODS.values(), ids=lambda w: w.id)
def test_a_mark_can_be_told_from_its_wood_even_in_grey(wood):
    """At least 3 to 1, what WCAG 2.2 asks of graphics (1.4.11)."""
    look = WoodLook(wood.name, wood.finished_rgb, "ring")
    ink = tuple(bytes.fromhex(look.ink[1:]))
    high, low = sorted((luminance(look.rgb), luminance(ink)), reverse=True)
    assert (high + 0.05) / (low + 0.05) >= 3


def test_a_large_pattern_takes_a_handful_of_elements():
    large = Pattern.of([[("beech", "sapele", "padauk")[(r * c) % 3] for c in range(64)] for r in range(64)])
    assert sum(1 for _ in ElementTree.fromstring(pattern_svg(large, LOOKS)).iter()) < 60
