"""A row as a strip: every piece as long as it is, in its wood, with its mark."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree import ElementTree

from planner.drawing import WoodLook
from planner.drawing.working.strip import strip_svg

LOOKS = {"birch": WoodLook("Birch", (214, 181, 136), "bar"), "walnut": WoodLook("Walnut", (83, 56, 42), "ring")}
ROW = [("birch", Fraction(30)), ("walnut", Fraction("50.9")), ("birch", Fraction("19.1"))]
PATH = "{http://www.w3.org/2000/svg}path"


def paths(svg: str) -> dict[str, str]:
    return {
        f"{p.get('data-wood')} {p.get('fill') != 'none'}": p.get("d") for p in ElementTree.fromstring(svg).iter(PATH)
    }


def test_pieces_are_measured_back_from_left_to_right():
    svg = strip_svg(ROW, LOOKS)
    along = float(ElementTree.fromstring(svg).get("data-along"))
    boxes = {
        (round(float(x) / along, 1), round(float(long) / along, 1), wood)
        for wood in LOOKS
        for x, long in re.findall(r"M([\d.]+) 0h([\d.]+)v", paths(svg)[f"{wood} True"])
    }
    assert boxes == {(0.0, 30.0, "birch"), (30.0, 50.9, "walnut"), (80.9, 19.1, "birch")}


def test_every_piece_bears_its_wood_s_mark():
    found = paths(strip_svg(ROW, LOOKS))
    assert found["birch False"].count("M") == 2 and found["walnut False"].count("M") == 1


def test_its_words_are_escaped_and_without_any_it_is_decoration():
    assert "&lt;3" in strip_svg(ROW, LOOKS, title="<3") and 'aria-hidden="true"' in strip_svg(ROW, LOOKS)
