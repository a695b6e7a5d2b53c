"""A pattern drawn with its rows as they are laid: upright, or several of the picture in one."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from planner.drawing import MARKS, Laying, WoodLook, pattern_svg
from planner.pattern import Pattern

SVG = "{http://www.w3.org/2000/svg}"
MARK_1, MARK_2, *_ = MARKS
LOOKS = {
    "beech": WoodLook("Beech", (200, 170, 130), MARK_1),
    "walnut-black": WoodLook("Walnut", (80, 55, 40), MARK_2),
}
# Two equal rows, and one unlike them.
PATTERN = Pattern.of(
    [["beech", "walnut-black", "walnut-black"], ["beech", "walnut-black", "walnut-black"], ["beech"] * 3]
)


def boxes(svg: str, wood: str) -> set[tuple[float, ...]]:
    """Left, top, width and height of each run of a wood, in cells."""
    fill = LOOKS[wood].fill
    (path,) = (path for path in ElementTree.fromstring(svg).iter(f"{SVG}path") if path.get("fill") == fill)
    found = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)", path.get("d"))
    return {tuple(float(n) / 10 for n in box) for box in found}


def drawn(laying: Laying, **more) -> str:
    return pattern_svg(PATTERN, LOOKS, cell=10, numbers=False, laying=laying, **more)


def test_upright_runs_are_those_down_the_columns():
    svg = drawn(Laying(upright=True), lines=False)
    assert boxes(svg, "beech") == {(0, 0, 1, 3), (1, 2, 1, 1), (2, 2, 1, 1)}
    assert boxes(svg, "walnut-black") == {(1, 0, 1, 2), (2, 0, 1, 2)}


def test_a_deep_row_is_one_piece_of_each_run_with_one_mark_and_no_line_through_it():
    svg = drawn(Laying(deep=(2, 1)))
    assert boxes(svg, "walnut-black") == {(1, 0, 2, 2)}
    assert boxes(svg, "beech") == {(0, 0, 1, 2), (0, 2, 3, 1)}
    lines = " ".join(path.get("d") for path in ElementTree.fromstring(svg).iter(f"{SVG}path"))
    # Along the rows at their edges: the top, under the deep row, the bottom.
    assert sorted(re.findall(r"M0 (\d+)h30(?!v)", lines)) == ["0", "20", "30"]


def test_upright_both_at_once():
    svg = drawn(Laying(upright=True, deep=(1, 2)), lines=False)
    assert boxes(svg, "walnut-black") == {(1, 0, 2, 2)} and boxes(svg, "beech") == {(0, 0, 1, 3), (1, 2, 2, 1)}


def test_tiles_of_upright_rows_are_numbered_from_the_bottom():
    texts = list(ElementTree.fromstring(pattern_svg(PATTERN, LOOKS, laying=Laying(upright=True))).iter(f"{SVG}text"))
    down = {text.text: float(text.get("y")) for text in texts if text.get("text-anchor") == "end"}
    across = {text.text: float(text.get("x")) for text in texts if text.get("text-anchor") == "middle"}
    assert down["1"] > down["3"] and across["1"] < across["3"]
