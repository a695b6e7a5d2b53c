"""A shop book is read on any printer: every colour of its words stands out from paper, and woods are told apart by
names and marks, not by colour alone."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from itertools import pairwise
from xml.etree import ElementTree

import pikepdf
import pytest
from coloraide import Color

from tests.support.book_boards import CASES
from tests.support.book_pages import fields, pages_of

pytestmark = pytest.mark.django_db
every_board = pytest.mark.parametrize("printed", list(CASES), indirect=True)
# What WCAG 2.2 asks of text (1.4.3).
LEAST = 4.5
# Operators of a PDF that set the colour letters are filled with (ISO 32000-1, 8.6.8), and those that show some (9.4.3).
_GREY, _RGB, _ANY, _SHOWS = "g", "rg", ("sc", "scn"), ("Tj", "TJ", "'", '"')
# With those that keep and bring back a colour, a colour in four inks and forms; lines and areas are not looked at.
_READ = " ".join(("q", "Q", _GREY, _RGB, "k", "Do", *_ANY, *_SHOWS))


def text_colours(stream, resources, fill=(0.0, 0.0, 0.0)) -> Iterator[tuple[float, ...]]:
    """The colour of each word shown, in red, green and blue; forms that are painted from here among them."""
    kept = []
    for operands, operator in pikepdf.parse_content_stream(stream, _READ):
        name = str(operator)
        if name == "q":
            kept.append(fill)
        elif name == "Q":
            fill = kept.pop()
        elif name == _GREY or (name in _ANY and len(operands) == 1 and not isinstance(operands[0], pikepdf.Name)):
            fill = (float(operands[0]),) * 3
        elif name == _RGB or (name in _ANY and len(operands) == 3):
            fill = tuple(float(one) for one in operands)
        elif name == "k":
            raise AssertionError("a colour in four inks")
        elif name in _SHOWS:
            yield fill
        elif name == "Do":
            form = resources.XObject[operands[0]]
            if form.get("/Subtype") == "/Form":
                yield from text_colours(form, form.get("/Resources", resources), fill)


def contrast(one: Color, other: Color) -> float:
    return one.contrast(other, method="wcag21")


@every_board
def test_every_colour_of_words_stands_out_from_paper(printed):
    with pikepdf.open(io.BytesIO(printed.pdf)) as paper:
        colours = {one for page in paper.pages for one in text_colours(page, page.Resources)}
    assert colours
    for colour in colours:
        assert contrast(Color("srgb", colour), Color("white")) >= LEAST, colour


def drawings(html: str) -> Iterator[ElementTree.Element]:
    for svg in re.findall(r"<svg.*?</svg>", html, re.S):
        yield ElementTree.fromstring(svg)


PATH = "{http://www.w3.org/2000/svg}path"


@every_board
def test_a_piece_s_mark_is_read_on_its_wood_whatever_the_colour(printed):
    marked = 0
    for drawing in drawings(printed.html):
        woods = {path.get("data-wood"): path.get("fill") for path in drawing.iter(PATH) if path.get("fill") != "none"}
        for path in drawing.iter(PATH):
            if path.get("data-wood") and path.get("fill") == "none":
                assert contrast(Color(path.get("stroke")), Color(woods[path.get("data-wood")])) >= LEAST
                marked += 1
    # The board as it is laid, and each row.
    assert marked > len(printed.record["woods"])


@every_board
def test_pieces_of_different_woods_side_by_side_bear_different_marks_and_a_joint_that_is_seen(printed):
    """So that two woods of one grey are two: the joint between them is drawn dark with a light edge."""
    marks = [wood["mark"] for wood in printed.record["woods"]]
    assert len(set(marks)) == len(marks)
    for drawing in drawings(printed.html):
        for under, over in pairwise(drawing.iter(PATH)):
            if under.get("data-under") == "joints":
                assert contrast(Color(under.get("stroke")), Color(over.get("stroke"))) >= LEAST


@every_board
def test_the_name_of_every_wood_stands_beside_its_mark(printed):
    lines = [fields(line) for line in pages_of(printed.texts)[0].columns]
    for wood in printed.record["woods"]:
        assert [wood["name"], wood["mark"]] in [line[:2] for line in lines]
