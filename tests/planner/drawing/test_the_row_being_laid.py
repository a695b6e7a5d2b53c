"""The row being laid, large: its pieces in their order and in proportion, a path a wood, mirrored where it lies face
down."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from planner.drawing import RowPiece, WoodLook, places_of, row_svg

LOOKS = {
    "oak": WoodLook("Oak", (200, 170, 120), "bar"),
    "walnut": WoodLook("Walnut", (80, 55, 40), "rise"),
}
ROW = [
    RowPiece("oak", 70.0, 17.0, "3"),
    RowPiece("walnut", 17.0, 17.0, "1"),
    RowPiece("oak", 34.0, 17.0, "2"),
    RowPiece("walnut", 51.0, 17.0, "3"),
]
SVG = "{http://www.w3.org/2000/svg}"


def boxes(drawing: str) -> dict[str, list[tuple[float, float]]]:
    """Where each colour's boxes begin and how long they are, read off the drawing."""
    found = {}
    for path in ElementTree.fromstring(drawing).iter(f"{SVG}path"):
        if path.get("fill") != "none":
            found[path.get("fill")] = [
                (float(x), float(long)) for x, long in re.findall(r"M([\d.]+) 0h([\d.]+)v", path.get("d"))
            ]
    return found


@pytest.mark.parametrize("mirrored", [False, True])
def test_pieces_lie_end_to_end_in_proportion_from_where_the_row_begins(mirrored):
    drawn = boxes(row_svg(ROW, LOOKS, mirrored=mirrored))
    lying = sorted((x, long, fill) for fill, several in drawn.items() for x, long in several)
    order = ROW[::-1] if mirrored else ROW
    assert [fill for _, _, fill in lying] == [LOOKS[piece.wood].fill for piece in order]
    assert [long for _, long, _ in lying] == pytest.approx([piece.length * 1000 / 172 for piece in order], abs=0.01)
    ends = [0.0, *(x + long for x, long, _ in lying)]
    assert ends[:-1] == pytest.approx([x for x, _, _ in lying], abs=0.01) and ends[-1] == pytest.approx(1000, abs=0.01)


def test_each_wood_is_one_path_and_its_marks_another_which_no_mirror_turns():
    for mirrored in (False, True):
        drawing = ElementTree.fromstring(row_svg(ROW, LOOKS, mirrored=mirrored, title="Row 2"))
        paths = list(drawing.iter(f"{SVG}path"))
        # Two woods, all joints, the marks of two woods.
        assert len(paths) == 5 and not any("transform" in one.attrib for one in drawing.iter())
    up, down = (re.findall(r"M[\d.]+ [\d.]+(l[^M\"]+)", row_svg(ROW, LOOKS, mirrored=one)) for one in (False, True))
    assert sorted(up) == sorted(down) != []


def test_places_are_told_in_the_order_of_laying():
    up, down = places_of(ROW), places_of(ROW, mirrored=True)
    assert [x for x, _ in up] == sorted(x for x, _ in up)
    assert [x for x, _ in down] == sorted((x for x, _ in down), reverse=True)
    assert [1000 - x - long for x, long in down] == pytest.approx([x for x, _ in up])
